"""How a noun is told in one text: bare words for what it is, then ``key=value`` with blanks between."""

import re
import shlex
from collections.abc import Collection, Iterator
from difflib import get_close_matches
from itertools import takewhile


def parts_of(text: str, noun: str) -> Iterator[list[str]]:
    """The words of each of several, commas between.

    :param noun: one of them, for the error
    :raises ValueError: nothing between two commas, or a quotation without its end
    """
    # An inch mark begins no quotation.
    marked = text if re.search(r"=\s*\"", text) else re.sub(r"(?<=\d)\"", "in", text)
    lexer = shlex.shlex(marked, posix=True, punctuation_chars=",")
    lexer.whitespace_split, lexer.commenters = True, ""
    part: list[str] = []
    for word in (*lexer, ","):
        if word != ",":
            part.append(word)
        elif part:
            yield part
            part = []
        else:
            raise ValueError(f"{text!r} names a {noun} too few")


# An x between sides has blanks about it, or a number with its unit behind it; that of a name has neither.
_BETWEEN = re.compile(
    r"\s+[xX×]\s+(?=[\d.])|(?<=[\d\s\"mn])\s*[xX×]\s*(?=[\d.][\d\s./-]*(?:[cm]?m|in|ft|[\"']))"
)


def sides_of(text: str) -> list[str]:
    """The sides of ``24in x 40in``, of which the later ones are lengths."""
    return [side.strip() for side in _BETWEEN.split(text)]


def pairs_of(
    words: list[str], keys: Collection[str], first: str = "", flags: Collection[str] = ()
) -> Iterator[tuple[str, str]]:
    """What words say: each key with the text of its value.

    :param first: key of the bare words before any other, empty where there are none
    :param flags: keys that are said by themselves
    :raises ValueError: a word that is none of these, or a key twice
    """
    bare = list(takewhile(lambda word: "=" not in word and word not in flags, words)) if first else []
    if bare:
        yield first, " ".join(bare)
    said = {first} if bare else set[str]()
    for word in words[len(bare) :]:
        key, equals, value = word.partition("=")
        if key not in keys or not (equals or key in flags):
            known = {key: key if key in flags else f"{key}=" for key in keys}
            near = get_close_matches(key, [*keys], n=1) or [one for one in keys if one.startswith(key)][:1]
            meant = f"; did you mean {known[near[0]]}" if near else ""
            raise ValueError(f"{word!r} is none of {', '.join(known.values())}{meant}")
        if key in said:
            raise ValueError(f"{key} is said twice")
        said.add(key)
        yield key, value if equals else "true"
