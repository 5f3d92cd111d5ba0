"""What equal facts share is encoded once: the answer is the plain one, byte for byte."""

from __future__ import annotations

import orjson
import pytest

from service.api.asking import flat_question, question
from service.api.edge import query
from service.api.present.answer import answer as shown
from service.api.present.answer import plain_answer
from service.api.present.wording import wording
from service.api.schemas.question import FitQuery, FitQuestion
from service.demo.questions import EXAMPLES, Call
from service.demo.world import demo_catalogue
from service.domain.catalogue.compiled import compile_catalogue
from service.papers import read_catalogue
from service.words.language import LANGUAGES
from tests.support.cases import answer

COMPILED = compile_catalogue(read_catalogue(demo_catalogue()))
ASKED = [
    call
    for call in EXAMPLES
    if call.target.startswith("/v1/fit?") or (call.target == "/v1/fit-checks" and call.body)
]


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("call", ASKED, ids=lambda call: call.name)
def test_the_bytes_are_those_of_the_plain_answer(call: Call, language: str) -> None:
    if call.body is None:
        asked = flat_question(FitQuery().load(query.read(call.target.partition("?")[2].encode())))
    else:
        asked = question(FitQuestion().load(call.body))
    found, words = answer(COMPILED, asked), wording(COMPILED.catalogue, language)
    for _ in range(2):
        assert orjson.dumps(shown(found, words)) == orjson.dumps(plain_answer(found, words))
