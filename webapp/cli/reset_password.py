"""The command `reset-password`: makes a link with which one diver sets a new password, once, within a day."""

from collections.abc import Sequence

from webapp import clock
from webapp.actions import passwords
from webapp.cli import one_diver


def main(argv: Sequence[str]) -> int:
    """Run `reset-password NAME`; return the exit status."""
    parser = one_diver.parser_of("reset-password", __doc__)
    parser.add_argument("--address", default="", help="where the server is reached: https://slate.example.org")
    options = parser.parse_args(argv)

    def make(user_id: int) -> None:
        token = passwords.make_reset(user_id, clock.now())
        print(f"{options.address.rstrip('/')}/password/reset/{token}")
        print(f"Give this link to {options.name} alone: it works once, within {passwords.RESET_HOURS} hours.", end="")
        print("" if options.address else " Put the address of your server in front of it.")

    return one_diver.run(options, make, "No link was made")
