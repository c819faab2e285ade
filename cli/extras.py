"""Libraries of an extra, loaded when they are needed; what is missing is told with what to install."""

from __future__ import annotations

import importlib
from types import ModuleType

from cli.exit import BadInput


def extra(module: str, name: str = "report") -> ModuleType:
    """The module; raises `BadInput` where it or a system library it needs is not there."""
    try:
        return importlib.import_module(module)
    except ModuleNotFoundError:
        raise BadInput(
            f"the library `{module}` is not installed", f"install regrip with its extra: `regrip[{name}]`"
        ) from None
    except OSError as error:
        advice = (
            "install Pango (Debian: libpango-1.0-0, libpangoft2-1.0-0), or write .html and print it from a browser"
        )
        raise BadInput(
            f"a system library that `{module}` needs is missing: {str(error).splitlines()[0]}", advice
        ) from None
