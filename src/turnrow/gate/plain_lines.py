"""Lines of a plain file into columns of whole numbers, compiled: one look at each byte, no rounding.

A number is added up digit by digit in millionths, a moment from its own digits, and a text becomes
its place among the texts of its column. Anything else ends the reading: the careful way decides.
With NUMBA_DISABLE_JIT=1 the same lines run uncompiled.
"""

import numpy as np
from numba import njit

AT, VALUE, TEXT = 0, 1, 2  # kinds of column; TEXT + k is the k-th column of texts
MOST = 4096  # different texts of one column in a block
SLOTS = 4 * MOST
LONGEST = 64  # bytes of a text
WHOLE, PARTS = 9, 6  # digits before the point and after it
DAYS_TO_1970 = 719_468  # from 1 March of the year 0
FROM_YEAR, TO_YEAR = 1990, 2200
COMMA, NEWLINE, QUOTE, MINUS, PLUS, POINT = 44, 10, 34, 45, 43, 46


@njit(cache=True, nogil=True, inline="always")
def _two(data, i):  # type: ignore[no-untyped-def]
    """Two digits from `i`, or a number over 99."""
    tens, ones = data[i] - np.int64(48), data[i + 1] - np.int64(48)
    return 10 * tens + ones if 0 <= tens <= 9 and 0 <= ones <= 9 else np.int64(1000)


@njit(cache=True, nogil=True, inline="always")
def _seconds(data, i, shape):  # type: ignore[no-untyped-def]
    """Seconds from 1970 of YYYY-MM-DD, with Thh:mm and :ss where `shape` is 16 or 19; noon of a
    date alone; -1 where it is no moment of the years taken."""
    year, month, day = 100 * _two(data, i) + _two(data, i + 2), _two(data, i + 5), _two(data, i + 8)
    if data[i + 4] != MINUS or data[i + 7] != MINUS or not FROM_YEAR <= year < TO_YEAR:
        return np.int64(-1)
    leap = year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    longest = 30 + (month + month // 8) % 2
    if month == 2:
        longest = 29 if leap else 28
    if not 1 <= month <= 12 or not 1 <= day <= longest:
        return np.int64(-1)
    since = year - 1 if month <= 2 else year
    of_year = (153 * ((month + 9) % 12) + 2) // 5 + day - 1  # from 1 March
    days = 365 * since + since // 4 - since // 100 + since // 400 + of_year - DAYS_TO_1970
    if shape == 10:
        return days * 86_400 + 43_200
    hour, minute, second = _two(data, i + 11), _two(data, i + 14), np.int64(0)
    right = data[i + 10] == 84 and data[i + 13] == 58 and hour < 24 and minute < 60
    if shape == 19:
        second = _two(data, i + 17)
        right = right and data[i + 16] == 58 and second < 60
    return days * 86_400 + hour * 3600 + minute * 60 + second if right else np.int64(-1)


@njit(cache=True, nogil=True)
def read_lines(data, start, end, kinds, shape, at, value, codes, spans, known):  # type: ignore[no-untyped-def]
    """How many lines lie from `start` to `end`, or -1 where one is not plain.

    data    (b,) uint8; a newline stands before `end`
    kinds   (c,) what each column holds; shape: bytes of a moment
    at, value  (n,) int64 filled with seconds and millionths; n is enough for all lines
    codes   (k, n) int16 filled with places among `spans`
    spans   (k, MOST, 2) int64 filled with start and end of each text in order of first sight
    known   (k,) int64 filled with how many there are
    """
    slots = np.full((len(known), SLOTS), -1, np.int32)
    i, line = start, 0
    while i < end:
        for c in range(len(kinds)):
            stop = NEWLINE if c == len(kinds) - 1 else COMMA
            if kinds[c] == AT:
                if i + shape >= end:
                    return -1
                at[line] = _seconds(data, i, shape)
                if at[line] < 0:
                    return -1
                i += shape
            elif kinds[c] == VALUE:
                minus = data[i] == MINUS
                i += minus or data[i] == PLUS
                size, first = np.int64(0), i
                while 48 <= data[i] <= 57:
                    size = 10 * size + (data[i] - np.int64(48))
                    i += 1
                    if i - first > WHOLE:
                        return -1
                if i == first:
                    return -1
                parts = 0
                if data[i] == POINT:
                    i += 1
                    while 48 <= data[i] <= 57:
                        size = 10 * size + (data[i] - np.int64(48))
                        i += 1
                        parts += 1
                        if parts > PARTS:
                            return -1
                for _ in range(PARTS - parts):
                    size *= 10
                value[line] = -size if minus else size
            else:
                k, first, mix = kinds[c] - TEXT, i, np.int64(0)
                while data[i] >= 32 and data[i] != COMMA and data[i] != QUOTE:
                    mix = (mix * 31 + data[i]) & 0xFFFFFF
                    i += 1
                long = i - first
                if long == 0 or long > LONGEST:
                    return -1
                slot = mix % SLOTS
                while True:
                    code = slots[k, slot]
                    if code < 0:
                        if known[k] == MOST:
                            return -1
                        code = known[k]
                        slots[k, slot] = code
                        spans[k, code, 0], spans[k, code, 1] = first, i
                        known[k] += 1
                        break
                    before = spans[k, code, 0]
                    same = spans[k, code, 1] - before == long
                    for b in range(long):
                        if not same:
                            break
                        same = data[before + b] == data[first + b]
                    if same:
                        break
                    slot = (slot + 1) % SLOTS
                codes[k, line] = code
            if data[i] != stop:
                return -1
            i += 1
        line += 1
    return line
