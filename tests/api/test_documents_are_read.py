"""Documents are read field by field, to the same end as by the schema library's own way."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from marshmallow import Schema

from service.api.edge import query
from service.api.schemas.fields import Checked, In
from service.api.schemas.question import FitQuery, FitQuestion
from service.demo.questions import EXAMPLES


def schemas(of: type[In] = In) -> Iterator[type[In]]:
    for each in of.__subclasses__():
        yield each
        yield from schemas(each)


def test_nothing_that_only_the_library_knows_is_asked_of_a_schema() -> None:
    """Names of members are those of the fields, and nothing is hooked in."""
    found = {each for each in schemas() if each.__module__.startswith("service")}
    assert len(found) > 20
    for each in found:
        made = each()
        assert [name for name, field in made.load_fields.items() if field.data_key not in (None, name)] == []
        assert [name for name, field in made.load_fields.items() if callable(field.load_default)] == []
        assert [field for field in made.load_fields.values() if field.validators] == []
        assert [field for field in made.load_fields.values() if not isinstance(field, Checked)] == []
        assert not any(made._hooks.values())  # noqa: SLF001 - nothing else tells them


QUERIES = [call.target for call in EXAMPLES if call.target.startswith("/v1/fit?")]
BODIES = [call.body for call in EXAMPLES if call.target == "/v1/fit-checks"]


@pytest.mark.parametrize("target", QUERIES)
def test_a_line_says_the_same(target: str) -> None:
    sent = query.read(target.partition("?")[2].encode())
    assert FitQuery().load(sent) == Schema.load(FitQuery(), sent)


@pytest.mark.parametrize("body", BODIES)
def test_a_document_says_the_same(body: dict[str, object]) -> None:
    assert FitQuestion().load(body) == Schema.load(FitQuestion(), body)
