"""For gunicorn's own command: `gunicorn -c python:service.server.configuration service.wsgi:app`.

It reads the settings as `python -m service serve` does, and every name below is one of gunicorn's.
"""

from __future__ import annotations

from service.server.options import options
from service.server.starting import settings

globals().update(options(settings()))
