"""From codes and facts to sentences, by language. The only place where the service has sentences.

Every text is an English msgid in one of the `*_texts` modules and goes through gettext, so that a
language is a catalogue of translations and nothing else. Texts take named facts in braces.
"""
