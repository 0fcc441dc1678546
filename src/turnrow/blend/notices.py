"""What is worth a word and not a refusal."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Notice:
    """A warning on one value, with the value that was likely meant.

    likely  None where no better value can be told
    unit    of `likely`
    """

    where: str
    got: str
    likely: float | None
    unit: str
    words: str

    def sentence(self) -> str:
        meant = "" if self.likely is None else f" Likely {self.likely:.4g} {self.unit}".rstrip() + "."
        return f"{self.where}: got {self.got}: {self.words}.{meant}"
