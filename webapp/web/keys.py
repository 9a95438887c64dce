"""The secret that signs cookies: made at first start, kept beside the data file, readable by its owner only."""

import os
import secrets
from pathlib import Path

KEY_BYTES = 32


def secret_key(data_file: Path) -> str:
    """Return the key kept beside the data file, making it when there is none."""
    path = data_file.with_name(data_file.name + ".key")
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        return _make(path)
    except FileExistsError:
        return path.read_text(encoding="ascii").strip()


def _make(path: Path) -> str:
    """Write a new key in one step with mode 0600; raise FileExistsError when another process was first."""
    made = secrets.token_hex(KEY_BYTES)
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "w", encoding="ascii") as file:
        file.write(made)
    return made
