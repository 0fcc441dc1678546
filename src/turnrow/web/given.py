"""What a form sent: its fields as text, and a picture looked at by its first bytes."""

from dataclasses import dataclass, field
from hashlib import sha256
from uuid import UUID, uuid4

from starlette.datastructures import UploadFile
from starlette.requests import Request

from turnrow.web.safety import PHOTO_MOST
from turnrow.yard.wrongs import Refusal, refuse

FIELDS_MOST = 2_000  # a round of many hundred stations
DEVICE = "web page"


@dataclass(frozen=True)
class Given:
    """Fields as sent, the last of a name; those sent several times joined by commas under `many`."""

    fields: dict[str, str] = field(default_factory=dict)
    photo: bytes = b""
    photo_kind: str = ""
    wrong: tuple[Refusal, ...] = ()  # what already the picture is turned away for

    def get(self, name: str) -> str:
        return self.fields.get(name, "").strip()

    @property
    def id(self) -> str:
        """The entry's id as made with the form; a new one for a form that lost it."""
        return self.get("id") or new_id()


async def given_of(request: Request) -> Given:
    """Read the form; a picture that is none comes back as a refusal beside the other fields."""
    fields: dict[str, str] = {}
    photo = b""
    wrong: list[Refusal] = []
    async with request.form(max_files=1, max_fields=FIELDS_MOST) as form:
        for name, value in form.multi_items():
            if isinstance(value, UploadFile):
                photo = await value.read(PHOTO_MOST + 1)
            elif name in fields and value:
                fields[name] = f"{fields[name]}, {value}"
            else:
                fields[name] = value
    kind = picture_kind(photo)
    if len(photo) > PHOTO_MOST:
        wrong = [Refusal("photo", f"{len(photo):,} bytes or more", "Send a picture of at most 8 MB.")]
    elif photo and not kind:
        wrong = [Refusal("photo", "a file that is no picture", "Send a JPEG, PNG or WebP picture.")]
    return Given(fields, photo if kind and not wrong else b"", kind, tuple(wrong))


def picture_kind(data: bytes) -> str:
    """The media type by the first bytes; empty for anything but JPEG, PNG and WebP."""
    if data.startswith(b"\xff\xd8\xff"):
        return "image/jpeg"
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return "image/png"
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return "image/webp"
    return ""


def photo_fields(given: Given) -> tuple[dict[str, str], dict[str, bytes]]:
    """The note's own fields for its picture, and the picture under its name."""
    if not given.photo:
        return {}, {}
    name = sha256(given.photo).hexdigest()
    return {"photo": name, "photo_kind": given.photo_kind}, {name: given.photo}


def new_id() -> str:
    return str(uuid4())


def sound_id(text: str) -> str:
    """The id of a form, which must be a UUID so that nobody chooses another's."""
    try:
        return str(UUID(text))
    except ValueError:
        raise refuse("id", text, "Open the form again: its id was lost or changed.") from None
