"""
The command line: `thawline <noun> <verb>`, thin commands over `app`.

Each noun is a module that is imported only when it is asked for. Commands return an
`Answer`; `main` prints it and turns it, or what was raised, into an exit code.
"""

import gc

_UNTIL_LOOKING = 50_000
"""New objects before the garbage collector looks, in place of 700. Modules are no rings, and
looking through them takes a twelfth of a short command."""

gc.set_threshold(_UNTIL_LOOKING)

from thawline.cli.entrance import main  # noqa: E402  imported while the collector waits

__all__ = ["main"]
