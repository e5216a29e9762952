"""Where the command begins: Ctrl-C is one line here, too, while all the rest is still imported.

Nothing but what Python has loaded by now is imported at the top.
"""

import os
import signal

INTERRUPTED = 130
"""The status of what Ctrl-C ended: 128 and the number of the signal, as in any shell."""


def main() -> None:
    """Run the command line, `cli.main`."""
    if signal.getsignal(signal.SIGINT) is signal.default_int_handler:
        signal.signal(signal.SIGINT, interrupted)
    from .cli import main as command

    command()


def interrupted(*_: object) -> None:
    """End at once: of half an import nothing is to be tidied up, and it could catch what is raised.

    `endings.run` puts its own way in the place of this one.
    """
    os.write(2, b"tarebook: interrupted\n")
    os._exit(INTERRUPTED)
