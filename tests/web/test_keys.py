"""The secret that signs the cookies."""

import stat
from pathlib import Path

from webapp.web.keys import secret_key


def test_the_first_start_makes_a_key_that_only_its_owner_can_read(tmp_path: Path) -> None:
    key = secret_key(tmp_path / "new" / "data.sqlite3")
    file = tmp_path / "new" / "data.sqlite3.key"

    assert len(key) == 64
    assert key == file.read_text()
    assert stat.S_IMODE(file.stat().st_mode) == 0o600


def test_the_next_start_takes_the_same_key_so_that_nobody_is_signed_out(tmp_path: Path) -> None:
    assert secret_key(tmp_path / "data.sqlite3") == secret_key(tmp_path / "data.sqlite3")


def test_two_data_files_have_two_keys(tmp_path: Path) -> None:
    assert secret_key(tmp_path / "a.sqlite3") != secret_key(tmp_path / "b.sqlite3")
