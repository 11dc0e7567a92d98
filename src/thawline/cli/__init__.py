"""
The command line: `thawline <noun> <verb>`, thin commands over `app`.

Each noun is a module that is imported only when it is asked for. Commands return an
`Answer`; `main` prints it and turns it, or what was raised, into an exit code.
"""

from thawline.cli.entrance import main

__all__ = ["main"]
