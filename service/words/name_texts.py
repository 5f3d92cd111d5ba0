"""What is said where a name is not known, or would be one of many."""

from __future__ import annotations

MACHINE = "machine"
ANOTHER_MODEL = "another model"
ONE_OF_SEVERAL = "one of several models"
WHATEVER_IT_IS = "the models that it may be"
