"""What a form sent: its fields as text, and a picture without what the camera wrote beside it."""

from dataclasses import dataclass, field
from hashlib import sha256
from uuid import UUID, uuid4

from starlette.datastructures import UploadFile
from starlette.requests import Request

from turnrow.gate.photograph import Photograph, photograph
from turnrow.web.safety import PHOTO_MOST
from turnrow.yard.wrongs import Refusal, Refused, refuse

FIELDS_MOST = 2_000  # a round of many hundred stations
DEVICE = "web page"


@dataclass(frozen=True)
class Given:
    """Fields as sent, the last of a name; those sent several times joined by commas under `many`."""

    fields: dict[str, str] = field(default_factory=dict)
    photo: Photograph | None = None
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
    sent = b""
    wrong: list[Refusal] = []
    async with request.form(max_files=1, max_fields=FIELDS_MOST) as form:
        for name, value in form.multi_items():
            if isinstance(value, UploadFile):
                sent = await value.read(PHOTO_MOST + 1)
            elif name in fields and value:
                fields[name] = f"{fields[name]}, {value}"
            else:
                fields[name] = value
    photo = None
    if len(sent) > PHOTO_MOST:
        wrong = [Refusal("photo", f"{len(sent):,} bytes or more", "Send a picture of at most 8 MB.")]
    elif sent:
        try:
            photo = photograph(sent)
        except Refused as refused:
            wrong = list(refused.refusals)
    return Given(fields, photo, tuple(wrong))


def photo_fields(given: Given) -> tuple[dict[str, str], dict[str, bytes]]:
    """The note's own fields for its picture, and the picture under its name."""
    photo = given.photo
    if photo is None:
        return {}, {}
    name = sha256(photo.data).hexdigest()
    return {"photo": name, "photo_kind": photo.kind, "photo_taken": photo.taken}, {name: photo.data}


def new_id() -> str:
    return str(uuid4())


def sound_id(text: str) -> str:
    """The id of a form, which must be a UUID so that nobody chooses another's."""
    try:
        return str(UUID(text))
    except ValueError:
        raise refuse("id", text, "Open the form again: its id was lost or changed.") from None
