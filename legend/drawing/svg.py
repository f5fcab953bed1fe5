"""Write an `svg` element as a whole file, or so that it may stand in HTML."""

from __future__ import annotations

import re

#: Namespaces that svgwrite declares and nothing here uses; HTML does not allow them.
_UNUSED = re.compile(r' xmlns:(ev|xlink)="[^"]*"')


def svg_file(element: str, comment: str = "") -> bytes:
    """The element as a file of its own, with a comment at its head where one is given."""
    # Two hyphens would end the comment.
    head = f"<!-- {comment.replace('-', '‐')} -->\n" if comment else ""
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{head}{element}\n'.encode()


def without_unused_namespaces(element: str) -> str:
    """The element as it may stand in HTML as well."""
    return _UNUSED.sub("", element)
