"""A drawing as inline SVG: a chart with its axes, or a view to scale.

A drawing must read in grey, so every role differs in more than its colour. Whatever can be labelled is
labelled where it stands.
"""

from html import escape

from woodmove.extend.api import Drawing, Words
from woodmove_drawings.chart import chart
from woodmove_drawings.elements import WIDE, plain
from woodmove_drawings.view import view


def svg_of(drawing: Drawing, words: Words, name: str) -> str:
    """The SVG element of a drawing, its words and numbers as its reader reads them.

    :param name: its own on the page
    """
    elements, high = chart(drawing, words) if drawing.x is not None else view(drawing, words)
    return (
        f'<svg class="drawing" viewBox="0 0 {WIDE:g} {plain(high)}" role="img" '
        f'aria-labelledby="{name} {name}-says"><title id="{name}">{escape(drawing.title)}</title>'
        f'<desc id="{name}-says">{escape(words.text(drawing.says))}</desc>{"".join(elements)}</svg>'
    )
