"""From values to the plain objects of an answer. What is absent is left out; nothing is worded here."""
