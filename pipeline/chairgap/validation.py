"""What a validator finds wrong with a value, in our words.

A model of a file says in the `description` of each field what would be right; messages end with it.
"""

from typing import get_args

from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails, PydanticCustomError

from chairgap.errors import InputError, Place
from chairgap.text import as_written, did_you_mean

_OPEN, _COMPLETE = "ours", "ours_complete"


def wrong(message: str) -> PydanticCustomError:
    """To be raised by a validator: a message that the description of the field completes."""
    return PydanticCustomError(_OPEN, "{message}", {"message": message})


def wrong_complete(message: str) -> PydanticCustomError:
    """To be raised by a validator: a message that says itself what to do."""
    return PydanticCustomError(_COMPLETE, "{message}", {"message": message})


def is_complete(detail: ErrorDetails) -> bool:
    """Whether the message of an error says itself what to do."""
    return detail["type"] == _COMPLETE


def problem_of(detail: ErrorDetails, field: FieldInfo, place: Place) -> InputError:
    """One error of a validator about a value of `field`, in our words."""
    value, expected = detail["input"], field.description or ""
    if is_complete(detail):
        return InputError(detail["msg"], place=place, value=value, expected=expected)
    if detail["type"] == "missing":
        message = "This is missing."
    elif detail["type"] == _OPEN:
        message = detail["msg"]
    else:
        message = f"It cannot be {as_written(value)}."
        if detail["type"] == "literal_error" and isinstance(value, str):
            choices = [word for word in get_args(field.annotation) if isinstance(word, str)]
            message += did_you_mean(value, choices)
    return InputError(f"{message} Write {expected}.", place=place, value=value, expected=expected)
