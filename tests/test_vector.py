"""Vectors of the plane, against complex numbers and the two ways of counting angles."""

from __future__ import annotations

import cmath
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from legend.vector import Vector

LENGTHS = st.floats(-1e3, 1e3)
VECTORS = st.builds(Vector, LENGTHS, LENGTHS)
ANGLES = st.floats(-720, 720)


@given(one=VECTORS, degrees=ANGLES)
def test_turning_clockwise_is_multiplying_by_a_unit(one: Vector, degrees: float) -> None:
    turned = complex(*one) * cmath.exp(-1j * math.radians(degrees))
    assert complex(*one.turned(degrees)) == pytest.approx(turned, abs=1e-9)


@given(one=VECTORS, other=VECTORS)
def test_products_are_those_of_complex_numbers(one: Vector, other: Vector) -> None:
    product = complex(*one).conjugate() * complex(*other)
    assert one.dot(other) == pytest.approx(product.real, abs=1e-9)
    assert one.cross(other) == pytest.approx(product.imag, abs=1e-9)
    assert complex(*(tuple(one) + other)) == complex(*one) + complex(*other)
    assert one.distance(other) == pytest.approx((one - other).length)


@given(degrees=st.floats(-179, 179))
def test_a_bearing_is_counted_clockwise_from_the_top(degrees: float) -> None:
    way = Vector.bearing(degrees)
    assert way.degrees == pytest.approx(degrees)
    assert way.angle == pytest.approx(Vector.towards(math.radians(90 - degrees)).angle)


@pytest.mark.parametrize("quarters", range(-5, 6))
def test_right_angles_are_without_an_error(quarters: int) -> None:
    assert Vector(3, 4).turned(90 * quarters) in [(3, 4), (4, -3), (-3, -4), (-4, 3)]
    assert Vector.bearing(90 * quarters) in [(0, 1), (1, 0), (0, -1), (-1, 0)]
