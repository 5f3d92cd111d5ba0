"""The units and boards with a name, and what happened to each."""

from __future__ import annotations

from service.demo import serials as s
from service.demo.diary import Diary, at, bound
from service.demo.factory import RELEASES, fitted_by_factory, places_of
from service.domain.terms import Serial


def customers(diary: Diary) -> None:
    """Units that customers ask about: sold here, never opened since."""
    for unit, model in (
        (s.CUSTOMER_WREN_4, "wren-4"),
        (s.CUSTOMER_WREN_8, "wren-8"),
        (s.CUSTOMER_CURLEW_12, "curlew-12"),
        (s.CUSTOMER_CURLEW_20, "curlew-20"),
        (s.CUSTOMER_CURLEW_20_A, "curlew-20-a"),
        (s.CUSTOMER_PLOVER_40, "plover-40"),
        (s.CUSTOMER_PLOVER_60, "plover-60"),
        (s.RENTAL_RAIL_1, "rail-1"),
    ):
        diary.registered(unit, model)
    diary.registered(s.ISLES_CURLEW_12, "curlew-12", market="isles")
    diary.note("registered", unit=s.CUSTOMER_CURLEW_EITHER, market="mainland")
    diary.registered(s.REPORTED_STOLEN_WREN_8, "wren-8")
    diary.held("reported_stolen", unit=s.REPORTED_STOLEN_WREN_8)


def packs(diary: Diary) -> None:
    """Two Plover 60, one with a second battery pack, one with every board of it recorded."""
    diary.registered(s.TWO_PACK_PLOVER_60, "plover-60")
    diary.note("accessory_fitted", unit=s.TWO_PACK_PLOVER_60, accessory="battery_pack", amount=2)
    unit = s.FULLY_RECORDED_PLOVER_60
    boards = fitted_by_factory(unit, "plover-60", places_of("plover-60"))
    diary.registered(unit, "plover-60", boards=boards)
    diary.note("accessory_fitted", unit=unit, accessory="battery_pack", amount=1)


def donors(diary: Diary) -> None:
    """Units that were taken apart, tested board by board."""
    _dismantle(diary, s.DONOR_PLOVER_60, "plover-60", {"main": s.USED_MAIN_60, "panel": s.USED_PANEL_60})
    _dismantle(diary, s.DONOR_PLOVER_40, "plover-40", {"main": s.USED_MAIN_40, "panel": s.USED_PANEL_40})
    _dismantle(diary, s.DONOR_CURLEW_20, "curlew-20", {"main": s.USED_MAIN_20})
    _dismantle(
        diary, s.DONOR_CURLEW_12, "curlew-12", {"main": s.MATCHED_MAIN_12, "panel": s.MATCHED_PANEL_12}
    )
    _dismantle(diary, s.DONOR_WREN_8, "wren-8", {"main": s.USED_MAIN_WREN_8})


def _dismantle(diary: Diary, unit: Serial, model: str, known: dict[str, Serial]) -> None:
    places = places_of(model)
    boards = fitted_by_factory(unit, model, places, known)
    diary.registered(unit, model, boards=boards)
    for place, block in zip(places, boards, strict=True):
        diary.removed(block["board"], unit, place)
    diary.note("dismantled", unit=unit)
    for block in boards:
        diary.tested(block["board"])


def swaps(diary: Diary) -> None:
    """Units whose boards were changed, well or badly."""
    _disagreeing(diary)
    _not_introduced(diary)
    _broken_off(diary)
    _renewed(diary)


def _opened(
    diary: Diary, unit: Serial, model: str, place: str, known: dict[str, Serial] | None = None
) -> None:
    """A unit comes in, and its main or panel board is taken out."""
    boards = fitted_by_factory(unit, model, ("main", "panel"), known)
    diary.registered(unit, model, boards=boards)
    taken = next(block["board"] for block in boards if block["role"] == place)
    diary.removed(taken, unit, place)


def _disagreeing(diary: Diary) -> None:
    unit, board = s.DISAGREEING_PLOVER_40, s.FOREIGN_MAIN_60
    _opened(diary, unit, "plover-40", "main")
    diary.received(board, "MN-4100", **bound("plover-60"), release=RELEASES["MN-4100"])
    diary.fitted(board, unit, "main", "plover-40")


def _not_introduced(diary: Diary) -> None:
    unit, board = s.SWAPPED_CURLEW_20, s.PANEL_NOT_INTRODUCED
    _opened(diary, unit, "curlew-20", "panel")
    diary.received(board, "PN-2200", **bound("curlew-20"), release=RELEASES["PN-2200"])
    diary.fitted(board, unit, "panel", "curlew-20")


def _broken_off(diary: Diary) -> None:
    unit, board = s.BROKEN_OFF_PLOVER_60, s.BROKEN_OFF_MAIN
    _opened(diary, unit, "plover-60", "main")
    diary.received(board, "MN-4100", binding="blank", release=RELEASES["MN-4100"])
    diary.fitted(board, unit, "main", "plover-60")
    step = {"step": "enter_serial", "board": board, "unit": unit, "model": "plover-60", **at("main")}
    diary.note("step_started", **step)
    diary.note("step_failed", **step)


def _renewed(diary: Diary) -> None:
    """A new main board, programmed as it should be; the old one works still, and holds the serial."""
    unit, panel = s.RENEWED_WREN_8, s.board_serial("N22", 2023, 4, 640)
    _opened(diary, unit, "wren-8", "main", {"main": s.STILL_NEEDED_MAIN, "panel": panel})
    board = s.board_serial("M41", 2024, 38, 2011)
    diary.received(board, "MN-4100", binding="blank", release=RELEASES["MN-4100"])
    diary.fitted(board, unit, "main", "wren-8")
    naming = {"board": board, "role": "main"}
    done = {"unit": unit, "model": "wren-8"}
    diary.note("step_finished", step="enter_serial", board=board, **done, **at("main"))
    diary.note("step_finished", step="introduce", board=panel, **done, **at("panel"), naming=naming)
    diary.tested(s.STILL_NEEDED_MAIN)


def shelf(diary: Diary) -> None:
    """Single boards with a story of their own."""
    diary.received(s.USED_MAIN_UNKNOWN, "MN-4100", binding="used")
    diary.received(s.EXPOSED_MAIN_40, "MN-4100", **bound("plover-40"), release=RELEASES["MN-4100"])
    diary.note("exposed", board=s.EXPOSED_MAIN_40, to="water")
    diary.received(s.MAYBE_EXPOSED_POSITION, "PS-3100")
    diary.note("exposed", board=s.MAYBE_EXPOSED_POSITION, to="lightning", certain=False)
    diary.received(s.CONTRADICTORY_MAIN, "MN-4100")
    diary.note("read_out", board=s.CONTRADICTORY_MAIN, **bound("curlew-12"))
    diary.note("read_out", board=s.CONTRADICTORY_MAIN, **bound("wren-8"))
    diary.received(s.STOLEN_MAIN, "MN-4100", **bound("plover-60"), release=RELEASES["MN-4100"])
    diary.held("reported_stolen", board=s.STOLEN_MAIN)
    diary.received(s.LOCKED_PANEL_60, "PN-2400", **bound("plover-60"), release=RELEASES["PN-2400"])
    diary.held("locked_to_owner", board=s.LOCKED_PANEL_60)
    diary.received(s.RECALLED_LIFT, "LF-7200")
    diary.held("recalled", board=s.RECALLED_LIFT)
    diary.received(s.FAILED_RADIO, "RD-5100")
    diary.tested(s.FAILED_RADIO, passed=False)
    diary.received(s.SCRAPPED_MAIN, "MN-4100", **bound("rail-2"))
    diary.note("scrapped", board=s.SCRAPPED_MAIN)
    # Its label names two parts, and nobody has looked at the board.
    diary.note("received", board=s.UNMARKED_BUMPER)
