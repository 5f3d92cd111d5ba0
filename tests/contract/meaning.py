"""Gives generated calls a meaning: the document can say what a name looks like, not which names there are.

A call that is right by its schema is refused where it names a model that the catalogue does not have,
or two boards for one place. Expectations are not loosened for that; the names are replaced by real
ones before the call, and everything else stays as it was generated.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any
from zlib import crc32

from tests.contract.telling import sensible_event

MODELS = ("wren-4", "wren-8", "curlew-12", "curlew-20-a", "plover-40", "rail-1")
ROLES = ("main", "panel", "position", "radio", "lift", "rain", "lamp", "bumper")
"""One for each board of a question, so that no two boards are for one place."""
PARTS = ("MN-4100", "PN-2200", "PN-2100", "BP-6200", "LF-7100", "RN-8200", "LM-9300")
FAMILIES = ("wren", "curlew", "plover", "rail")
MARKETS = ("mainland", "isles")
FUNCTIONS = ("tilt sensing", "lift_sensing", "rain sensing, lift sensing")

Node = dict[str, Any]


CAPABILITIES = ("battery_packs", "zones", "work_lamp", "satellite_mapping", "short_range_link")
"""What a machine may be wished to do."""


SOFTWARE = {"main": ("1.0.0", "1.1.0", "2.0.0"), "panel": ("1.0.0", "1.4.0", "2.0.0")}
"""Releases of the roles that every machine has."""
BUDGETS = ("500.00", "80")
AGREED = ["programming_needed", "other_serial", "read_machine_first"]
"""The conditions of the document's own example of a sale."""


def sensible_check(path: str, path_parameters: Node, body: Node) -> None:
    """What a sale asks to be accepted only its answer tells: agreeing to anything else is about no answer."""
    if path.endswith("/completion") and body.get("accepted") != AGREED:
        path_parameters["id"] = "sc-000000000000000000000000"


def picked(names: Sequence[str], value: object) -> str:
    """One of the names, the same one for the same generated value."""
    return names[crc32(repr(value).encode()) % len(names)]


def sensible_query(path: str, query: Node) -> None:
    """Mend the query of a generated call in place."""
    _rename(query, family=FAMILIES, market=MARKETS, model=MODELS, function=FUNCTIONS, role=ROLES)
    # A cursor is only ever taken from an answer.
    query.pop("cursor", None)
    if path in {"/v1/fit", "/v1/fit/picture"}:
        _sensible_line(query)
    if path == "/v1/upgrades":
        query["want"] = picked(CAPABILITIES, query["want"])
        query.setdefault("model", MODELS[0])
        _rename(query, budget=BUDGETS)
    if path.endswith("/candidates") and "place" in query:
        query |= {"role": "bumper", "place": picked(("left", "right"), query["place"])}


def _sensible_line(query: Node) -> None:
    board = {name: query.pop(name) for name in ("board", "part", "role", "place") if name in query}
    if "board" in board:
        query["board"] = board["board"]
    elif "part" in board:
        query["part"] = picked(PARTS, board["part"])
    elif "place" in board:
        query |= {"role": "bumper", "place": picked(("left", "right"), board["place"])}
    else:
        query["role"] = board.get("role", "main")
    _sensible_binding(query)
    query.pop("as_of", None)


def sensible_body(path: str, body: Node) -> None:
    """Mend the body of a generated call in place. The questions of a batch have faults of their own."""
    if path == "/v1/fit-checks":
        body.pop("as_of", None)
        body["boards"] = _sensible_boards(body.get("boards", []))
        if "unit" in body:
            _sensible_unit(body["unit"])
    elif path == "/v1/sale-checks":
        _sensible_sale(body)
    elif path == "/v1/upgrade-plans":
        _sensible_wish(body)
    elif path == "/v1/software-plans":
        _sensible_software(body)
    elif path == "/v1/events":
        body["events"] = [sensible_event(event) for event in body["events"]]
        body.pop("expected", None)


def _sensible_wish(body: Node) -> None:
    """An upgrade to what there is, of some machine, for an amount of money."""
    body["wanted"] = {picked(CAPABILITIES, name): amount for name, amount in body["wanted"].items()}
    _sensible_unit(body["unit"])
    if "budget" in body:
        body["budget"] = picked(BUDGETS, body["budget"])


def _sensible_software(body: Node) -> None:
    """A plan for boards that carry software, from releases that there are to one that there is."""
    _sensible_unit(body["unit"])
    # The boards stand beside the unit here, and what the unit reports is what its main board says.
    for name in ("boards", "read"):
        body["unit"].pop(name, None)
    told = zip(body.get("boards", []), SOFTWARE.items(), strict=False)
    body["boards"] = [{"role": role, "release": picked(releases, board)} for board, (role, releases) in told]
    if body.get("wanted"):
        body["wanted"] = {"main": picked(SOFTWARE["main"], body["wanted"])}


def _sensible_sale(body: Node) -> None:
    """A check of the till: one board, of a role and with words that mean something, for some machine."""
    body.pop("as_of", None)
    _rename(body, market=MARKETS)
    body["board"] = _sensible_board(body["board"], ROLES[0])
    if not body["board"]["serial"].isprintable():
        # No record can hold what nobody can read, and no schema language can say so.
        body["board"]["serial"] = "SOME-BOARD"
    if body["board"]["serial"].startswith("TB"):
        # A serial of the demo says its role itself.
        body["board"].pop("role")
    if "unit" in body:
        _sensible_unit(body["unit"])


def _sensible_unit(unit: Node) -> None:
    _rename(unit, model=MODELS, papers_model=MODELS, market=MARKETS)
    _rename(unit.get("read", {}), model=MODELS)
    if "accessories" in unit:
        unit["accessories"] = {"battery_pack": max(unit["accessories"].values(), default=0)}
    # What the unit reports is what its main board says, so that one is not told a second time.
    roles = ROLES[1:] if "read" in unit else ROLES
    unit["boards"] = _sensible_boards(unit.get("boards", []), roles)
    for board in unit["boards"]:
        if board.get("empty"):
            for name in ("serial", "part", "claimed", "read", "introduced"):
                board.pop(name, None)


def _sensible_boards(boards: Sequence[Node], roles: Sequence[str] = ROLES) -> list[Node]:
    return [_sensible_board(dict(board), role) for board, role in zip(boards, roles, strict=False)]


def _sensible_board(board: Node, role: str) -> Node:
    for name in ("part", "place"):
        board.pop(name, None)
    for name in ("claimed", "read"):
        if name in board:
            statement = dict(board[name])
            statement.pop("part", None)
            _sensible_binding(statement)
            board[name] = statement
    if "introduced" in board:
        board.get("claimed", {}).pop("introduced", None)
    return {**board, "role": role}


def _sensible_binding(statement: Node) -> None:
    if "bound_model" in statement and statement.get("binding", "bound") == "bound":
        statement["bound_model"] = picked(MODELS, statement["bound_model"])
    else:
        statement.pop("bound_model", None)
        if statement.get("binding") == "bound":
            statement["binding"] = "used"
    if statement.get("binding") == "blank":
        statement.pop("holds", None)


def _rename(node: Node, **names: Sequence[str]) -> None:
    for name, known in names.items():
        if name in node:
            node[name] = picked(known, node[name])
