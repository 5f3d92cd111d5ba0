"""The rest of the shop: units sold and hardly known, and new boards on the shelf."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.demo import serials as s
from service.demo.diary import Diary
from service.demo.factory import PRODUCTS, RELEASES, fitted_by_factory, places_of
from service.domain.terms import Serial

FLEET: Final = (
    ("wren-4", "WA", 211, 7),
    ("wren-8", "WB", 342, 7),
    ("curlew-12", "CL", 118, 7),
    ("curlew-20", "CM", 1503, 6),
    ("curlew-20-a", "CM", 6210, 4),
    ("plover-40", "PL", 27, 4),
    ("plover-60", "PM", 14, 3),
)
"""Model, the code in its serials, the number of the first one sold, and how many were."""

SHELF: Final = (
    ("MN-4100", 7), ("PN-2100", 2), ("PN-2200", 5), ("PN-2210", 3), ("PN-2400", 3), ("PS-3100", 3),
    ("PS-3200", 3), ("RD-5100", 4), ("RD-5200", 3), ("BP-6100", 5), ("BP-6200", 5), ("LF-7100", 4),
    ("LF-7200", 3), ("RN-8100", 2), ("RN-8200", 5), ("LM-9200", 1), ("LM-9300", 4),
)  # fmt: skip
"""Part, and how many boards of it are there new, besides those with a name."""


def sold_units() -> Iterator[tuple[Serial, str]]:
    """The fleet: serials that differ in year, week and number as those of real sales would."""
    for model, product, first, count in FLEET:
        for turn in range(count):
            week = 1 + (first + 11 * turn) % 50
            yield s.unit_serial(product, 2020 + (first + turn) % 5, week, first + 13 * turn), model


def fleet(diary: Diary) -> None:
    """Units sold over the years. Of every second one somebody wrote down some boards, of a few all."""
    for turn, (unit, model) in enumerate(sold_units()):
        places = places_of(model) if turn % 8 == 3 else ("main", "panel") if turn % 2 else ()
        boards = fitted_by_factory(unit, model, places)
        market = "isles" if turn % 6 == 2 else "mainland"
        diary.registered(unit, model, market, **({"boards": boards} if boards else {}))


def boxes(diary: Diary) -> None:
    """New boards as they come: what binds is blank."""
    for board, part in (
        (s.BLANK_MAIN, "MN-4100"),
        (s.BLANK_PANEL_21, "PN-2100"),
        (s.BLANK_PANEL_22, "PN-2200"),
        (s.BLANK_PANEL_2W, "PN-2210"),
        (s.BLANK_PANEL_24, "PN-2400"),
    ):
        _new(diary, board, part)
    for part, count in SHELF:
        for turn in range(count):
            _new(diary, s.board_serial(PRODUCTS[part], 2024, 30 + turn, 500 + 7 * turn), part)


def bench(diary: Diary) -> None:
    """A unit of the fleet comes in, and its main board fails its test."""
    unit = s.WAITING_PLOVER_40
    main = fitted_by_factory(unit, "plover-40", ("main",))[0]["board"]
    diary.removed(main, unit, "main")
    diary.tested(main, passed=False)


def _new(diary: Diary, board: Serial, part: str) -> None:
    binds = part.startswith(("MN-", "PN-"))
    release = {"release": RELEASES[part]} if part in RELEASES else {}
    diary.received(board, part, **({"binding": "blank"} if binds else {}), **release)
