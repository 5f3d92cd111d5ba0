"""What the demo's maker fitted into a unit, as its papers say, and the serials that those boards have."""

from __future__ import annotations

from typing import Final

from service.demo.diary import Block, at, bound
from service.demo.serials import board_serial
from service.domain.terms import Serial

PRODUCTS: Final = {
    "MN-4100": "M41", "PN-2100": "N21", "PN-2200": "N22", "PN-2210": "N2W", "PN-2400": "N24",
    "PS-3100": "S31", "PS-3200": "S32", "RD-5100": "R51", "RD-5200": "R52", "BP-6100": "B61",
    "BP-6200": "B62", "LF-7100": "L71", "LF-7200": "L72", "RN-8100": "W81", "RN-8200": "W82",
    "LM-9100": "E91", "LM-9200": "E92", "LM-9300": "E93",
}  # fmt: skip
"""Part number to the code in its boards' serials."""

RELEASES: Final = {
    "MN-4100": "1.1.0", "PN-2100": "1.0.0", "PN-2200": "1.4.0", "PN-2210": "1.4.0", "PN-2400": "1.4.0",
    "PS-3100": "1.2.0", "PS-3200": "1.2.0",
}  # fmt: skip
"""Part number to the release that its boards left the factory with."""

PLACES: Final = {
    "wren-4": ("main", "panel", "bumper.left", "bumper.right", "lift"),
    "wren-8": ("main", "panel", "bumper.left", "bumper.right", "lift", "rain"),
    "curlew-12": ("main", "panel", "bumper.left", "bumper.right", "lift", "rain"),
}
"""Places that are always filled; the larger models fill all of them."""
ALL_PLACES: Final = (
    "main", "panel", "position", "radio", "bumper.left", "bumper.right", "lift", "rain", "lamp",
)  # fmt: skip


def places_of(model: str) -> tuple[str, ...]:
    """The places that the factory fills in a model."""
    return PLACES.get(model, ALL_PLACES)


_FIXED: Final = {
    "main": ("MN-4100", "MN-4100"),
    "position": ("PS-3100", "PS-3200"),
    "radio": ("RD-5100", "RD-5100"),
}
"""Role to the part in smaller models and in Plovers, where neither making nor model matters further."""


def part_in(model: str, place: str, made: tuple[int, int]) -> str:
    """The part that the factory fitted on the Mainland; `made` is year and ISO week.

    The catalogue's breaks are restated here, and a test compares the two.
    """
    role, plover = place.partition(".")[0], model.startswith("plover")
    if role in _FIXED:
        return _FIXED[role][plover]
    if role == "panel":
        return _panel(model, made)
    large = plover or model.startswith("curlew-20")
    one, other, which = {
        "bumper": ("BP-6100", "BP-6200", large),
        "lift": ("LF-7100", "LF-7200", plover and made >= (2023, 27)),
        "rain": ("RN-8100", "RN-8200", made >= (2023, 36)),
        "lamp": ("LM-9100", "LM-9200", model in {"curlew-20-a", "plover-60"}),
    }[role]
    return other if which else one


def _panel(model: str, made: tuple[int, int]) -> str:
    if model == "wren-4":
        return "PN-2210"
    if model.startswith("plover"):
        return "PN-2400"
    return "PN-2100" if model in {"wren-8", "curlew-12"} and made < (2022, 1) else "PN-2200"


def made_in(unit: Serial) -> tuple[int, int]:
    """Year and ISO week out of a plate serial."""
    return 2000 + int(unit[4:6]), int(unit[6:8])


def fitted_by_factory(
    unit: Serial, model: str, places: tuple[str, ...], known: dict[str, Serial] | None = None
) -> list[Block]:
    """The boards of a unit as its registration lists them; `known` gives those that have a serial already."""
    return [_board(unit, model, place, (known or {}).get(place)) for place in places]


def _board(unit: Serial, model: str, place: str, serial: Serial | None) -> Block:
    made = made_in(unit)
    part = part_in(model, place, made)
    # The week before the unit's; the number is the unit's own, the two bumper boards follow each other.
    number = int(unit[8:12]) + (place == "bumper.right")
    made_serial = board_serial(PRODUCTS[part], made[0], max(1, made[1] - 1), number)
    block: Block = {"board": serial or made_serial, "part": part, **at(place)}
    if part in RELEASES:
        block["release"] = RELEASES[part]
    match block["policy"]:
        case "names":
            return {**block, **bound(model, unit)}
        case "follows":
            return {**block, **bound(model)}
    return block
