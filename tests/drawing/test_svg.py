"""What all SVG files have in common."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from legend.drawing.svg import svg_file, without_unused_namespaces


@pytest.mark.parametrize("comment", ["", "KILN -- 2", "a-", "--> <b>"])
def test_no_comment_breaks_the_file(comment: str) -> None:
    written = svg_file("<svg/>", comment)
    assert ElementTree.fromstring(written).tag == "svg"
    assert (b"<!--" in written) is bool(comment)


def test_only_namespaces_that_are_not_used_go() -> None:
    root = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:ev="a" xmlns:xlink="b"/>'
    assert without_unused_namespaces(root) == '<svg xmlns="http://www.w3.org/2000/svg"/>'
