"""Hole lists with headings in other words and languages."""

import pytest

from legend.description.reading.hole_lists.hole_list import read_hole_list


@pytest.mark.parametrize(
    "heading",
    [
        "Loch;x;y;Durchmesser;Bemerkung",
        "Loch;x;y;Bohrung;Bemerkung",
        "Bohrung;x;y;Durchmesser;Bemerkung",
        "Trou;X;Y;Diamètre (mm);Remarque",
        "Nom;x;y;Perçage;Remarque",
        "Agujero;x;y;Diámetro;Observación",
        "Foro;x;y;Diametro;Commento",
        "Hole;x;y;dia;Remarks",
        "Nr;x;y;Ø [mm];Notiz",
    ],
)
def test_round_holes(heading: str) -> None:
    found = read_hole_list(f"{heading}\nA;1,5;2;9,5;pot\n".encode(), "h.csv")
    assert not found.faults
    hole = found.holes["A"]
    assert hole["at"] == ["1,5", "2"]
    assert hole["drill"].startswith("9,5") and hole["note"] == "pot"


@pytest.mark.parametrize(
    "heading",
    [
        "id;x;y;Breite;Höhe;Winkel",
        "id;x;y;largeur;hauteur;angle",
        "id;x;y;ancho;alto;ángulo",
        "id;x;y;larghezza;altezza;angolo",
        "id;x;y;Breite;Hoehe;Drehung",
    ],
)
def test_cut_outs(heading: str) -> None:
    found = read_hole_list(f"{heading}\nW;1;2;40;20;15\n".encode(), "h.csv")
    assert not found.faults
    assert found.holes["W"]["cutout"] == ["40", "20"]
    assert found.holes["W"]["angle"] == 15


def test_two_headings_for_one_column_are_told() -> None:
    found = read_hole_list(b"id;Loch;x;y;drill\nA;B;1;2;3\n", "h.csv")
    assert "stands in the hole list twice" in found.faults[0].message
