"""The command `export`: writes everything of one diver as open files into a folder of its own."""

from collections.abc import Sequence
from pathlib import Path

from webapp import clock
from webapp.actions import leaving
from webapp.cli import one_diver


def main(argv: Sequence[str]) -> int:
    """Run `export NAME DIRECTORY`; return the exit status."""
    parser = one_diver.parser_of("export", __doc__)
    parser.add_argument("directory", type=Path, help="a folder that does not exist yet, or is empty")
    options = parser.parse_args(argv)

    def write(user_id: int) -> None:
        files = leaving.export(user_id, clock.now())
        _write(options.directory, files)
        print(f"{len(files)} files are in {options.directory}. They contain notes on health.")

    return one_diver.run(options, write, "Nothing was exported")


def _write(directory: Path, files: dict[str, str]) -> None:
    directory.mkdir(mode=0o700, parents=True, exist_ok=True)
    if any(directory.iterdir()):
        raise FileExistsError(f"{directory} is not empty")
    for name, text in files.items():
        (directory / name).write_text(text, encoding="utf-8", newline="")
