"""One place in words: the card of a board."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from service.domain.facts.records import BoardRecord
from service.domain.fit.answer import Answer
from service.domain.place import Place
from service.domain.terms import Basis, Holds, Means
from service.pictures.content import Card, Mark
from service.pictures.standing import Standing
from service.words import picture_texts as texts
from service.words.names import Names
from service.words.reasons import weighed_sentence
from service.words.summary_texts import ON_YOUR_WORD

FEW = 2
"""More models or parts than this are not named one by one."""


def state(mark: Mark, flag: str, names: Names) -> str:
    """What happens to a board, and how it stands: "goes in, stands in the way"."""
    return ", ".join(filter(None, (flag, names.language.say(texts.MARKS[mark]))))


@dataclass(frozen=True, slots=True)
class Cards:
    """Makes the cards of one answer."""

    answer: Answer
    names: Names
    told: str
    """What the picture says above them: no reason is told twice."""

    def card(self, of: Standing, beside: Place | None, flag: str = "", *, brief: bool = False) -> Card:
        """The card of a place. `beside`: where the board sits that names the model."""
        paired = beside is not None and beside != of.place
        return Card(
            name=self.names.place(of.place),
            mark=of.mark,
            state=state(of.mark, flag, self.names),
            serial=(of.board.serial or "") if of.board else "",
            chip=self._chip(of),
            facts=tuple(self._brief(of) if brief else self._facts(of, beside if paired else None)),
            tie=of.tie,
            names=of.names and not of.empty and bool(of.worlds),
            pair=of.pair if paired else None,
            proposed=of.proposed,
        )

    def _say(self, text: str, **facts: str) -> str:
        return self.names.language.say(text, **facts)

    def _chip(self, of: Standing) -> str:
        if of.tie is None:
            return ""
        models = [model for model in of.bindings if model is not None]
        if not models:
            return self._say(texts.MODEL_BLANK if of.bindings else texts.MODEL_OPEN)
        return self.names.model(models[0]) if len(of.bindings) == 1 else self._say(texts.MODEL_OPEN)

    def _brief(self, of: Standing) -> Iterator[str]:
        """What is said of a board that nothing is asked of."""
        yield from self._there(of)
        yield from self._reasons(of)

    def _facts(self, of: Standing, beside: Place | None) -> Iterator[str]:
        yield from self._there(of)
        if of.binds and not of.empty:
            yield self._binding(of)
            if of.names:
                yield self._holder(of)
        if of.pair is not None and beside is not None:
            board, other = self.names.place(of.place), self.names.place(beside)
            yield self._say(texts.PAIRS[of.pair], board=board, other=other)
        yield from self._basis(of)
        yield from self._reasons(of)

    def _there(self, of: Standing) -> Iterator[str]:
        """Whether there is a board, and which part it is."""
        if of.empty:
            yield self._say(texts.NO_BOARD)
        elif of.made_without:
            yield self._say(texts.MADE_WITHOUT)
        elif 0 < len(of.parts) <= FEW:
            yield self._say(texts.PART, part=self.names.language.either(of.parts))
        else:
            yield self._say(texts.PART_NOT_KNOWN)
        if not of.exists:
            yield self._say(texts.NO_PLACE)

    def _binding(self, of: Standing) -> str:
        models = sorted(model for model in of.bindings if model is not None)
        blank = None in of.bindings
        if not models:
            return self._say(texts.IS_BLANK if blank else texts.BINDING_NOT_KNOWN)
        if len(models) > FEW:
            return self._say(texts.BINDING_NOT_KNOWN if blank else texts.WHICH_NOT_KNOWN)
        bound = self.names.a_model(models, many=texts.MODEL_OPEN)
        if blank:
            return self._say(texts.MAY_BE_BLANK, bound=bound)
        return self._say(texts.BOUND if len(models) == 1 else texts.MAY_BE_BOUND, bound=bound)

    def _holder(self, of: Standing) -> str:
        """Whose serial number it carries. The number of another machine is no customer's business."""
        unit = self.answer.case.unit.serial
        record: BoardRecord | None = of.board.record if of.board else None
        serial = record.held_serial if record else None
        if serial == "" or of.bindings == {None} or of.holds == {Holds.NOTHING}:
            return self._say(texts.HOLDS_NONE)
        if serial is not None and serial != unit:
            customer = self.answer.case.facts.means is Means.CUSTOMER
            return self._say(texts.HOLDS_OTHER) if customer else self._say(texts.HOLDS, serial=serial)
        if serial is not None or of.as_made or (of.proposed and of.holds == {Holds.THIS_UNIT}):
            return self._say(texts.HOLDS_THIS)
        if of.holds and of.holds <= {Holds.IDLE, Holds.IN_SERVICE} and self._was_told(of):
            return self._say(texts.HOLDS_OTHER)
        return self._say(texts.HOLDER_NOT_KNOWN)

    @staticmethod
    def _was_told(of: Standing) -> bool:
        return of.board is not None and of.board.facts.holds.basis is not None

    def _basis(self, of: Standing) -> Iterator[str]:
        """How it is known what it is programmed for, where the mark does not say it."""
        if not of.binds or of.empty or of.mark is Mark.AS_MADE:
            return
        said = {
            Basis.READ: texts.READ,
            Basis.RECORDED: texts.RECORDED,
            Basis.CLAIMED: ON_YOUR_WORD,
        }
        if of.as_made:
            yield self._say(texts.AS_MADE)
        elif of.board is not None and of.board.binding.basis in said:
            yield self._say(said[of.board.binding.basis])

    def _reasons(self, of: Standing) -> Iterator[str]:
        for reason in of.reasons:
            sentence = weighed_sentence(reason, self.names)
            if sentence not in self.told:
                yield sentence
