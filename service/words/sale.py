"""The till's answer in words: for the staff, for the customer, and for the receipt."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from service.domain.fit.asking import Ask
from service.domain.place import Place
from service.domain.quote.quoting import Line, LineKind
from service.domain.sale.asking import OF_THE_UNIT
from service.domain.sale.check import HELD, Decision, SaleAnswer
from service.domain.sale.ground import Ground
from service.domain.terms import PartNumber, Who
from service.words import sale_texts as texts
from service.words.amounts import day
from service.words.names import Names
from service.words.questions import how_sentence, question_name, question_sentence
from service.words.subjects import those_who
from service.words.summary import own_boards, summary
from service.words.summary_texts import SOME_BOARD

WE_LOOK_ANYHOW = frozenset({"part_open", "claims_decide", "record_contradicts", "not_recorded_here"})
"""Grounds that say already that we have to look at the board ourselves."""


def staff_text(answer: SaleAnswer, names: Names) -> str:
    """The decision with its grounds or conditions, for the people behind the counter."""
    decisions = texts.TAKING if answer.found.question.brought else texts.DECISIONS
    heading = names.language.say(decisions[answer.decision])
    lines = [staff_sentence(each, answer, names) for each in (*answer.grounds, *answer.conditions)]
    return "\n".join([heading, *(f"- {line}" for line in lines)])


def customer_text(answer: SaleAnswer, names: Names) -> str:
    """What the customer is told, the consequence first."""
    brought = answer.found.question.brought
    first = texts.TO_CUSTOMER_WHO_BRINGS if brought else texts.TO_CUSTOMER
    board = board_name(answer, names)
    if answer.held:
        return names.language.say(first["held"], board=board)
    told = [customer_sentence(each, answer, names) for each in _for_customer(answer)]
    return " ".join([names.language.say(first[answer.decision], board=board), *told])


def _for_customer(answer: SaleAnswer) -> Iterator[Ground]:
    """What of it a customer has to hear: one reason for a no, and once that we have to look ourselves."""
    if answer.decision is Decision.DO_NOT_SELL:
        yield answer.grounds[0]
        return
    codes = {each.code for each in answer.grounds}
    for each in (*answer.grounds, *answer.conditions):
        ours = each.code == "fact_open" and not _of_machine(each)
        if not ours or codes.isdisjoint(WE_LOOK_ANYHOW):
            yield each


def _of_machine(of: Ground) -> bool:
    """Whether an open fact is one of the customer's machine, and not of our board."""
    return of.facts["fact"][0].startswith(OF_THE_UNIT)


def receipt_paragraphs(answer: SaleAnswer, names: Names) -> list[str]:
    """What is printed with the lines: the dealer's text, and every condition."""
    if answer.found.terms is None or not answer.sells:
        return []
    told = [customer_sentence(each, answer, names) for each in answer.conditions]
    return [names.own(answer.found.terms.receipt), *told]


def return_paragraphs(answer: SaleAnswer, names: Names) -> list[str]:
    """The dealer's terms of return, and that they take no right away."""
    if answer.found.terms is None or not answer.sells:
        return []
    return [names.own(answer.found.terms.returns), names.language.say(texts.STATUTORY_RIGHTS)]


def staff_sentence(of: Ground, answer: SaleAnswer, names: Names) -> str:
    """One ground or condition for the staff."""
    facts = _Facts(of, answer, names).told()
    said = names.language.say(texts.STAFF[of.code], **facts)
    several = of.code == "part_open" and facts["parts"]
    return f"{said} {names.language.say(texts.PART_MAY_BE, parts=facts['parts'])}" if several else said


def customer_sentence(of: Ground, answer: SaleAnswer, names: Names) -> str:
    """One ground or condition for the customer; nothing is said of what is held."""
    if of.code in HELD:
        return ""
    question = answer.found.question
    if of.code == "does_not_fit" and question.model_named:
        return summary(answer.found.judged[0].known, names)
    said = names.language.say(_customer_text_of(of, answer), **_Facts(of, answer, names).told())
    separate = of.code == "programming_needed" and not question.model_named
    return f"{said} {names.language.say(texts.NOT_IN_THE_PRICE)}" if separate else said


def _customer_text_of(of: Ground, answer: SaleAnswer) -> str:
    if of.code == "claims_decide" and answer.found.question.brought:
        return texts.BY_YOUR_WORDS
    if of.code == "fact_open" and not _of_machine(of):
        return texts.WE_LOOK
    return texts.CUSTOMER[of.code]


def line_name(line: Line, answer: SaleAnswer, names: Names) -> str:
    """What a line is for."""
    charge, say = line.charge, names.language.say
    key = "used_part" if charge.kind is LineKind.PART and answer.found.used else str(charge.kind)
    name = _goods_name(charge.number, answer)
    return say(texts.LINES[key], name=names.own(name), quantity=str(charge.quantity))


def board_name(answer: SaleAnswer, names: Names) -> str:
    """The board by its role; just "board" while that is open."""
    places = answer.found.told.case.proposed
    return names.place(Place(places[0].place.role)) if len(places) == 1 else names.language.say(SOME_BOARD)


def _goods_name(number: str, answer: SaleAnswer) -> str:
    part = answer.found.compiled.catalogue.parts.get(PartNumber(number))
    if part is not None:
        return part.name
    parts = answer.found.known_parts
    return next((c.name for each in parts for c in each.companions if c.number == number), "")


@dataclass(frozen=True, slots=True)
class _Facts:
    """The facts of one ground, by the names that its sentences use."""

    of: Ground
    answer: SaleAnswer
    names: Names

    def told(self) -> Mapping[str, str]:
        facts, say = self.of.facts, self.names.language
        question, how = self._ask()
        return {
            "board": board_name(self.answer, self.names),
            "holds": say.both(say.say(texts.HOLDS[each]) for each in facts.get("holds", ())),
            "facts": say.both(self._contradicting()),
            "units": say.both(facts.get("unit", ())),
            "serials": say.both(facts.get("serial", ())),
            "parts": say.either(facts.get("part", ())),
            "markets": say.either(map(self.names.market, facts.get("market", ()))),
            "until": say.either(day(each, say) for each in facts.get("until", ())),
            "campaigns": " ".join(self._campaigns()),
            "machines": " ".join(self._machines()),
            "own_board": self.names.own(
                (self.answer.found.terms and self.answer.found.terms.own_board) or ""
            ),
            "who": say.both(say.say(texts.WHO[each]) for each in facts.get("who", ())),
            "who_has": self._who_has(),
            "own_boards": " ".join(self._own_boards()),
            "question": question,
            "how": how,
        }

    def _ask(self) -> tuple[str, str]:
        """The question that is asked back, and how its answer is found."""
        asks = (judgement.known.ask for judgement in self.answer.found.judged)
        ask: Ask | None = next((a for a in asks if a and (a.fact,) == self.of.facts.get("fact")), None)
        if ask is None:
            return "", ""
        places = self.answer.found.told.case.facts.loose
        return question_sentence(ask, self.names), how_sentence(ask, places, self.names)

    def _contradicting(self) -> Iterator[str]:
        """What of a board is recorded in more than one way."""
        if self.of.code == "record_contradicts":
            yield from (question_name(fact, self.names) for fact in self.of.facts["fact"])

    def _own_boards(self) -> Iterator[str]:
        """What must not be used of the machine itself."""
        if self.of.code == "machine_board_not_usable":
            answers = (judgement.known for judgement in self.answer.found.judged)
            noted = (note.reason for answer in answers for note in answer.notes)
            yield from own_boards(noted, self.names)

    def _campaigns(self) -> Iterator[str]:
        wanted = self.of.facts.get("campaign", ())
        for campaign in self.answer.found.campaigns:
            if campaign.id in wanted:
                own = self.names.own
                told = {"campaign": own(campaign.name), "note": own(campaign.text)}
                yield self.names.language.say(texts.CAMPAIGN, **told)

    def _machines(self) -> Iterator[str]:
        """The models that it works in, surely and perhaps."""
        say, models = self.names.language, self.of.facts.get("models", ())
        board = board_name(self.answer, self.names)
        named = [self.names.model(model) for model in models]
        if len(named) == 1:
            yield say.say(texts.WORKS_IN_ONE, board=board, a_model=say.a(named[0]))
        elif named:
            yield say.say(texts.WORKS_IN_SOME, board=board, models=", ".join(named))
        perhaps = [say.a(self.names.model(model)) for model in self.of.facts.get("maybe", ())]
        if perhaps:
            yield say.say(texts.MAY_WORK_IN, a_model=say.either(perhaps))

    def _who_has(self) -> str:
        return those_who(tuple(map(Who, self.of.facts.get("who", ()))), self.names)
