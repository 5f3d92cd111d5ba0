"""Settings: one list, read from the environment and from a file, all faults told in one message."""

from service.settings.listed import PREFIX, SETTINGS_FILE, Settings, accepted, documented
from service.settings.sources import InForce, SettingsError, from_environment, in_force

__all__ = [
    "PREFIX",
    "SETTINGS_FILE",
    "InForce",
    "Settings",
    "SettingsError",
    "accepted",
    "documented",
    "from_environment",
    "in_force",
]
