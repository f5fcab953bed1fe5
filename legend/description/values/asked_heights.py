"""Define how a height of capitals may be asked for: as a length, or by what fits."""

from typing import Annotated, Any, Final, Literal, get_args

from pydantic import Discriminator, Tag

from legend.description.values.form import TAG, Form
from legend.description.values.length_values import Height

#: A height that is to be found by trying: the greatest with which all is clear of all, or the
#: least that the stock carries and that can be read.
Found = Literal["as large as fits", "as small as can be cut"]
GREATEST: Final = "as large as fits"
SMALLEST: Final = "as small as can be cut"


def _found_or_height(value: Any) -> str:
    return TAG + ("found" if value in get_args(Found) else "height")


#: A height of capitals, or how it is to be found.
HeightOrFound = Annotated[
    Annotated[Height, Tag(TAG + "height")] | Annotated[Found, Tag(TAG + "found")],
    Discriminator(_found_or_height),
    Form(
        "a height of 0.5 to 200 mm, such as 3.5, or",
        choices=get_args(Found),
        unit="mm",
        in_inches='a height of 0.02 to 7.874 in, such as 0.125 or "1/8", or',
    ),
]
