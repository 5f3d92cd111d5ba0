"""What the document says of the service as a whole."""

from __future__ import annotations

from typing import Any

DESCRIPTION = """\
Answers, before money changes hands and before a machine is opened: can this board go into that machine,
what has to be programmed, by whom and in what order, and what will the machine then be able to do?

**Outcomes.** "Does not fit" and "cannot tell" are answers (200), not errors. Unknown is never a no and
never a yes; where an answer is unknown, `cause` says why and `ask` names the fact that would settle it.

**Keys.** Every call needs a key, sent as `Authorization: Bearer KEY`, but for this document (which
`/docs` shows as a page) and the two health checks. A key is good for some scopes, which each operation
names, and for so many requests a minute, which every answer tells (`RateLimit`). What one owner of keys
stored is not there for another.

**Stability.** Within /v1 only additions are made: new addresses, new optional parameters, new members of
an answer, new codes of reasons, steps, blockers, cautions and problems. The sets of `outcome`, `cause`,
`fit` and `programming` never grow.

**Errors.** Every error is `application/problem+json` (RFC 9457) with a stable `code`, a `detail` that
says how to mend the call, and `errors` with the place of each fault. What the server in front of the
service refuses itself (a request line or header that is no HTTP) has its own plain form.

**Languages.** What people read (`summary`, `text` and the like, and the pages in plain text) is told in
English, German, French or Swedish: the best by `Accept-Language` (RFC 4647 lookup), else English;
`Content-Language` says which. Names are the catalogue's own, translated where it translates them. Problem
details are for programmers and stay English.

**Caution.** An answer is what the maker's papers and the shop's records say. The maker's manual, local
codes and licensed practice come first.
"""

ABOUT: dict[str, Any] = {
    "description": DESCRIPTION,
    "summary": "Which board goes into which machine.",
    "license": {"name": "MIT", "url": "https://spdx.org/licenses/MIT.html"},
    "contact": {
        "name": "The people who run this service",
        "url": "https://boardfit.example",
        "email": "service@boardfit.example",
    },
}
