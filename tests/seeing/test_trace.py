"""Traces are taken by the rules of W3C Trace Context; the section that a case is from stands beside it."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

from service.api.seeing.trace import trace_of

TRACE, PARENT = "4bf92f3577b34da6a3ce929d0e0e4736", "00f067aa0ba902b7"
"""The example of "Examples of HTTP traceparent Headers"."""
GOOD = f"00-{TRACE}-{PARENT}-01"


def test_the_example_of_the_recommendation_is_taken() -> None:
    trace = trace_of(GOOD, None)
    assert trace is not None
    assert (trace.id, trace.parent, trace.sampled, trace.state) == (TRACE, PARENT, True, "")
    assert trace.span not in (PARENT, "0" * 16)
    assert trace.response() == f"00-{TRACE}-{trace.span}-01"


REFUSED = {
    "no version (Versioning of traceparent)": f"{TRACE}-{PARENT}-01",
    "version ff (version)": f"ff-{TRACE}-{PARENT}-01",
    "upper case version (version)": f"0A-{TRACE}-{PARENT}-01",
    "trace-id all zero (trace-id)": f"00-{'0' * 32}-{PARENT}-01",
    "upper case trace-id (trace-id, HEXDIGLC)": f"00-{TRACE.upper()}-{PARENT}-01",
    "trace-id too short (trace-id)": f"00-{TRACE[:-1]}-{PARENT}-01",
    "trace-id not hexadecimal (trace-id)": f"00-{TRACE[:-1]}g-{PARENT}-01",
    "parent-id all zero (parent-id)": f"00-{TRACE}-{'0' * 16}-01",
    "upper case parent-id (parent-id)": f"00-{TRACE}-{PARENT.upper()}-01",
    "flags not hexadecimal (trace-flags)": f"00-{TRACE}-{PARENT}-0x",
    "upper case flags (trace-flags)": f"00-{TRACE}-{PARENT}-0A",
    "flags cut (trace-flags)": f"00-{TRACE}-{PARENT}-0",
    "version 00 with more (version-format)": f"{GOOD}-more",
    "a later version whose flags go on (Versioning of traceparent)": f"cc-{TRACE}-{PARENT}-01x",
    "sent twice (joined by a comma, RFC 9110 section 5.3)": f"{GOOD},{GOOD}",
    "other digits than ASCII's": f"00-{TRACE[:-1]}\u0661-{PARENT}-01",
    "a line break behind": f"{GOOD}\n",
    "nothing": "",
}


@pytest.mark.parametrize("parent", REFUSED.values(), ids=REFUSED)
def test_what_breaks_the_rules_is_no_trace(parent: str) -> None:
    """And then `tracestate` is not read either ("Tracestate Header")."""
    assert trace_of(parent, "rojo=00f067aa0ba902b7") is None


@pytest.mark.parametrize(
    "parent", [f"cc-{TRACE}-{PARENT}-01", f"01-{TRACE}-{PARENT}-01-what-the-future-brings"]
)
def test_a_later_version_is_read_as_far_as_it_is_known_and_answered_in_ours(parent: str) -> None:
    """ "Versioning of traceparent"."""
    trace = trace_of(parent, None)
    assert trace is not None
    assert (trace.id, trace.parent, trace.sampled) == (TRACE, PARENT, True)
    assert trace.response().startswith(f"00-{TRACE}-")


@pytest.mark.parametrize(
    ("flags", "sampled"), [("00", "00"), ("01", "01"), ("09", "01"), ("fe", "00"), ("ff", "01")]
)
def test_of_the_flags_only_the_sampled_one_is_passed_on(flags: str, sampled: str) -> None:
    """ "Other Flags": they are set to zero."""
    trace = trace_of(f"00-{TRACE}-{PARENT}-{flags}", None)
    assert trace is not None
    assert trace.response().endswith(f"-{sampled}")


STATES = {
    "rojo=00f067aa0ba902b7,congo=t61rcWkgMzE": "rojo=00f067aa0ba902b7,congo=t61rcWkgMzE",
    " rojo=1\t , congo=2 ": "rojo=1,congo=2",  # list: whitespace around members
    "rojo=1,,congo=2,": "rojo=1,congo=2",  # tracestate Header Field Values: empty members are allowed
    "": "",
    "1a-_*/@b=x y!~": "1a-_*/@b=x y!~",  # Key (Level 2), Value
    ",".join(f"k{n}=1" for n in range(32)): ",".join(f"k{n}=1" for n in range(32)),
    ",".join(f"k{n}=1" for n in range(33)): "",  # at most 32 members
    "rojo=1,rojo=2": "",  # Combined Header Value: no key twice
    "Rojo=1": "",  # Key
    "-rojo=1": "",
    f"{'k' * 257}=1": "",
    "rojo=": "",  # Value: at least one character
    "rojo=a=b": "",
    "rojo=\u00e9": "",
    "rojo=a\tb": "",
    "rojo": "",
    f"rojo={'v' * 257}": "",
    ",".join(f"k{n}={'v' * 250}" for n in range(3)): "",  # tracestate Limits: more than 512 is left out
    "rojo=bfk_till1234_secret": "",  # no key is logged, wherever it is sent
}


@pytest.mark.parametrize("state", STATES)
def test_what_others_carry_is_read_whole_or_not_at_all(state: str) -> None:
    trace = trace_of(GOOD, state)
    assert trace is not None, "it never spoils the trace"
    assert trace.state == STATES[state]


def test_the_answer_names_our_operation_in_the_callers_trace(client: FlaskClient) -> None:
    told = {client.get("/healthz", headers={"traceparent": GOOD}).headers["traceresponse"] for _ in range(2)}
    assert len(told) == 2, "each request is an operation of its own"
    assert all(each.startswith(f"00-{TRACE}-") and each.endswith("-01") for each in told)
    assert "traceresponse" not in client.get("/healthz").headers
    assert "traceresponse" not in client.get("/healthz", headers={"traceparent": "00-0-0-01"}).headers
