"""Refusals gathered while a file is read, so that all are told at once."""

from collections.abc import Iterable

from turnrow.yard.wrongs import Refusal, Refused, shown

MOST = 40  # told one by one; the rest are counted


class WrongsList:
    """Refusals so far. `raise_any` ends the reading when there are some."""

    def __init__(self, file: str) -> None:
        self._file = file
        self._told: list[Refusal] = []
        self._more = 0

    def __bool__(self) -> bool:
        return bool(self._told)

    def add(self, where: str, got: object, do: str) -> None:
        if len(self._told) < MOST:
            self._told.append(Refusal(where, shown(got), do))
        else:
            self._more += 1

    def add_told(self, where: str, wrongs: Iterable[Refusal]) -> None:
        """Refusals that a form has told already, each with the place it was read at."""
        for one in wrongs:
            if len(self._told) < MOST:
                self._told.append(Refusal(f"{where}, {one.where}", one.got, one.do))
            else:
                self._more += 1

    def add_rows(self, rows: Iterable[int], column: str, got: object, do: str) -> None:
        """One refusal for each of `rows` (numbers as a spreadsheet shows them)."""
        for row in rows:
            self.add(f"row {row}, column {column}", got, do)

    def raise_any(self) -> None:
        """Raises Refused with all of them, and how many more there are."""
        if not self._told:
            return
        more = [Refusal(self._file, f"{self._more} more", "Put these right and take the file again.")]
        raise Refused([*self._told, *(more if self._more else [])])
