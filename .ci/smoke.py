"""A client that a public generator made from openapi.yaml asks a running demo, and gets typed answers.

    python smoke.py http://127.0.0.1:PORT

The generated package `boardfit_client` has to be importable. Ends with 0 when every answer is what the demo's
world makes it, as an object of the type that the document promises.
"""

from __future__ import annotations

import sys
import time

import httpx
from boardfit_client import AuthenticatedClient
from boardfit_client.api.fit import check_fit, check_fit_of_set
from boardfit_client.api.units import draw_unit, get_unit
from boardfit_client.models import (
    Fit,
    FitAnswer,
    FitQuestion,
    Outcome,
    Problem,
    ProposedBoard,
    StatedBinding,
    UnitAnswer,
    UnitStatement,
)

PATIENCE = 60.0
"""Seconds in which the demo has to be ready."""

DEMO_KEY = "bfk_demodesk_everybodyknowsthiskeydemodesk777_3e20381f"
"""Of the demo's world, and known to everybody."""

PLOVER_40 = "TMPL23140032M"
MAIN_OF_A_PLOVER_60 = "TBM4122080117X"
REFUSES_TO_RUN = "TMPL224000188"


def main(base: str) -> None:
    """Ask four questions, and one that is no question."""
    wait(base)
    client = AuthenticatedClient(base_url=base, token=DEMO_KEY)
    one_board(client)
    a_set(client)
    a_unit(client)
    a_picture(client)
    no_question(client)


def wait(base: str) -> None:
    """Until the demo says that it is ready."""
    deadline = time.monotonic() + PATIENCE
    while time.monotonic() < deadline:
        try:
            if httpx.get(f"{base}/readyz").status_code == httpx.codes.OK:
                return
        except httpx.TransportError:
            pass
        time.sleep(0.2)
    sys.exit(f"the demo was not ready after {PATIENCE:.0f} seconds")


def one_board(client: AuthenticatedClient) -> None:
    answer = check_fit.sync(client=client, board=MAIN_OF_A_PLOVER_60, unit=PLOVER_40)
    assert isinstance(answer, FitAnswer), answer
    assert (answer.outcome, answer.fit) == (Outcome.DOES_NOT_FIT, Fit.NO)
    assert [reason.code for reason in answer.reasons if reason.deciding] == ["bound_to_other_model"]
    print(f"one board: {answer.summary}")


def a_set(client: AuthenticatedClient) -> None:
    board = ProposedBoard(serial=MAIN_OF_A_PLOVER_60)
    question = FitQuestion(unit=UnitStatement(model="plover-60"), boards=[board])
    answer = check_fit_of_set.sync(client=client, body=question)
    assert isinstance(answer, FitAnswer), answer
    assert answer.outcome in {Outcome.FITS, Outcome.FITS_WITH_PROGRAMMING, Outcome.CANNOT_TELL}, (
        answer.outcome
    )
    assert answer.fit is not Fit.NO, "the board is bound to this very model"
    print(f"a set: {answer.summary}")


def a_unit(client: AuthenticatedClient) -> None:
    answer = get_unit.sync(REFUSES_TO_RUN, client=client)
    assert isinstance(answer, UnitAnswer), answer
    assert answer.models == ["plover-40"]
    assert {reason.code for reason in answer.reasons} & {"unit_already_disagrees", "boards_disagree"}
    print(f"a unit: {answer.summary}")


def a_picture(client: AuthenticatedClient) -> None:
    answer = draw_unit.sync(REFUSES_TO_RUN, client=client)
    assert isinstance(answer, str), answer
    assert answer.startswith("<svg "), answer[:80]
    print(f"a picture: {len(answer):,} characters")


def no_question(client: AuthenticatedClient) -> None:
    answer = check_fit.sync(client=client, model="plover-41", part="MN-4100", binding=StatedBinding.BLANK)
    assert isinstance(answer, Problem), answer
    assert answer.code == "invalid_request"
    print(f"no question: {answer.detail}")


if __name__ == "__main__":
    main(sys.argv[1])
