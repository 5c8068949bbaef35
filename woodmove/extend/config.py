"""Where the user's configuration lies: settings, and plugins of their own."""

import os
from pathlib import Path


def config_home() -> Path:
    """The user's folder for configuration, by the XDG base directory specification."""
    named = os.environ.get("XDG_CONFIG_HOME", "")
    return Path(named if os.path.isabs(named) else os.path.expanduser("~/.config"))
