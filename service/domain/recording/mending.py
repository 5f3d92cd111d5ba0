"""A step that is refused: the event that would be right instead."""

from __future__ import annotations

from service.domain.ledger.event import EventKind
from service.domain.recording.bench import Bench, Spot
from service.domain.recording.refusal import Instead
from service.domain.recording.whereabouts import taken_out
from service.domain.terms import BindingPolicy, StepKind


def instead_of(
    code: str, bench: Bench, spots: tuple[Spot, Spot | None], naming: str | None
) -> tuple[Instead, ...]:
    """What to record first. `spots` are those of the step's board and of the board that names, `naming` is
    which board that is. Nothing where no event of ours mends it."""
    here, beside = spots
    board = bench.data["board"]
    match code:
        case "naming_board_is_blank" | "board_is_blank" if naming is not None and beside is not None:
            return _bindings(bench, here, beside, naming)
        case "bound_to_other_model":
            return (taken_out(board, here, BindingPolicy.NAMES),)
        case "boards_disagree":
            return (taken_out(board, here, BindingPolicy.FOLLOWS),)
        case "already_bound" if naming is not None and beside is not None:
            return (_introduced(bench, here, beside, naming),)
        case _:
            return ()


def _bindings(bench: Bench, here: Spot, beside: Spot, naming: str) -> tuple[Instead, ...]:
    """The board that names gets its serial, and the one that follows is assigned its model, if they may be
    blank."""
    told = []
    if _may_be_blank(bench, naming):
        told.append(_step(bench, StepKind.ENTER_SERIAL, naming, beside))
    if bench.data["step"] == StepKind.INTRODUCE and _may_be_blank(bench, bench.data["board"]):
        told.append(_step(bench, StepKind.ASSIGN, bench.data["board"], here))
    return tuple(told)


def _may_be_blank(bench: Bench, board: str) -> bool:
    record = bench.board(board)
    return record is None or record.binding.values is None or "blank" in record.binding.values


def _step(bench: Bench, step: StepKind, board: str, spot: Spot) -> Instead:
    unit = bench.unit(spot.unit)
    model = bench.data.get("model") or (unit.model if unit else None)
    data = {"step": step.value, "board": board, **spot.block(), "model": model}
    return Instead(kind=EventKind.STEP_FINISHED, data=data)


def _introduced(bench: Bench, here: Spot, beside: Spot, naming: str) -> Instead:
    at = {name: value for name, value in beside.block().items() if name != "unit"}
    data = {"step": StepKind.INTRODUCE.value, "board": bench.data["board"], **here.block()}
    return Instead(kind=EventKind.STEP_FINISHED, data={**data, "naming": {"board": naming, **at}})
