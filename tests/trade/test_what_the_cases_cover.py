"""The cases speak of all that they are there for: the trade's own facts, both makers, every reason."""

from __future__ import annotations

from collections import Counter

import pytest

from service.domain.facts.question import ImpossibleQuestion
from service.words.caution_texts import CAUTIONS
from service.words.reason_texts import REASONS
from tests.trade.case_files import answered, cases

FACTS = {
    "one part number serves many models": [
        "main_is_one_number_for_a_small_machine",
        "main_is_the_same_number_for_a_large_machine",
        "models_of_the_main_boards_number",
    ],
    "the main board carries the unit serial and that fixes the model": [
        "main_tells_which_machine_it_is",
        "main_with_another_serial_is_another_machine",
        "main_whose_serial_is_in_service",
    ],
    "a bound main or panel never serves another model again, though the number is equal": [
        "main_bound_elsewhere_never_serves_another_model",
        "panel_bound_elsewhere_never_serves_another_model",
    ],
    "the panel takes its model from the main board": [
        "panel_takes_its_model_from_the_main_board",
        "panel_has_nothing_to_take_its_model_from",
        "both_new_the_main_board_first",
    ],
    "a main board of a bigger model in a smaller machine does not work; its second battery still errs": [
        "bigger_main_in_a_smaller_machine",
        "bigger_main_sits_in_a_smaller_machine_already",
    ],
    "any new or swapped main or panel needs programming with dealer access": [
        "new_panel_is_the_dealers_to_program",
        "used_panel_of_the_very_same_model",
        "swapped_pair_of_the_very_same_model_too",
    ],
    "a machine allowed one battery reports an error with two, whatever connector the board has": [
        "second_battery_in_a_machine_allowed_one",
        "second_battery_in_a_machine_allowed_two",
    ],
    "a short-range radio on the panel of a model not allowed it gives no link, not now": [
        "radio_on_the_panel_of_a_model_not_allowed_it",
        "radio_missing_on_the_panel",
    ],
    "two boards that agree with each other and not with the machine do not make it fit": [
        "pair_agrees_with_each_other_and_not_with_the_machine",
    ],
    "tilt and rear-loop sensing sit on the main board": [
        "fault_of_tilt_sensing",
        "fault_of_rear_loop_sensing",
    ],
    "the sensors of the upper body reach the main board through the panel by one ribbon cable": [
        "fault_of_several_upper_body_sensors",
        "fault_of_one_upper_body_sensor",
    ],
    "the panel is there also in machines without a keypad": [
        "panel_of_a_machine_without_keypad",
        "panel_number_in_a_machine_without_keypad",
        "panel_taken_out_of_a_machine_without_keypad",
    ],
    "ultrasonic ranging only in some models": [
        "ultrasonic_ranging_is_not_for_every_model",
        "ultrasonic_ranging_where_it_is_allowed",
        "ultrasonic_model_does_not_take_the_plain_bumper",
    ],
    "a look-alike board of a sister family is another part": [
        "look_alike_of_a_sister_family",
        "look_alike_of_a_sister_model",
        "panel_of_a_sister_model_is_another_number",
    ],
    "a range known and not covered is cannot tell": [
        "range_known_and_not_covered",
        "range_not_covered_has_no_parts",
    ],
    "a used board of the very same model fits after programming": [
        "used_main_of_the_very_same_model",
        "used_panel_of_the_very_same_model",
    ],
    "the software of the boards must go together": [
        "software_of_both_boards_at_the_second_release",
        "software_of_a_new_panel_is_too_old",
        "software_of_a_new_main_board_is_too_old",
    ],
}
"""Facts of the trade (common practice, no source) and the cases that hold them."""

NOT_IN_THESE_CATALOGUES = {"must_be_activated", "needs_a_step"}
"""Steps after the swap of a free part that no family here asks for; tests/words says them."""


OF_UPGRADES = {"approval_may_end", "approved_packs_only"}
"""Cautions that no answer of fit carries."""


@pytest.mark.parametrize("fact", FACTS)
def test_a_fact_of_the_trade_has_its_cases(fact: str) -> None:
    there = {case.name for case in cases()}
    assert {name for name in FACTS[fact] if f"trade_practice/{name}" not in there} == set()


def test_each_shop_has_its_questions() -> None:
    count = Counter(case.name.split("/")[0] for case in cases() if "question" in case.given)
    assert count["demo"] >= 80
    assert count["second_maker"] >= 20
    assert count["trade_practice"] >= 30


def test_every_reason_and_caution_is_told_in_some_case() -> None:
    found = [answered(case) for case in cases() if "question" in case.given]
    answers = [each for each in found if not isinstance(each, ImpossibleQuestion)]
    assert set(REASONS) - {g.reason.code for a in answers for g in a.reasons} == NOT_IN_THESE_CATALOGUES
    assert set(CAUTIONS) - {caution.code for a in answers for caution in a.cautions} == OF_UPGRADES
