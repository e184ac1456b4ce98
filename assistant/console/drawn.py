"""What the prompt's line shows beside what is typed: how it could go on, and what a search of earlier lines found."""

from __future__ import annotations

from prompt_toolkit.formatted_text import StyleAndTextTuples
from prompt_toolkit.formatted_text.utils import fragment_list_len, fragment_list_to_text
from prompt_toolkit.layout.processors import Processor, ReverseSearchProcessor, Transformation, TransformationInput

GREY = "class:auto-suggestion"
NONE = "no earlier line has that"
WHICH = "type letters of an earlier line"


class Bracketed(Processor):
    """Puts the grey words in brackets: where there is no grey they would look typed."""

    def apply_transformation(self, transformation_input: TransformationInput) -> Transformation:
        """The line with its suggestion marked; with none while a list stands under the line and would lie over it."""
        listed = transformation_input.buffer_control.buffer.complete_state is not None
        shown: StyleAndTextTuples = []
        for one in transformation_input.fragments:
            if one[0] != GREY or not one[1]:
                shown.append(one)
            elif not listed:
                shown.append((GREY, f"[{one[1]}]"))
        return Transformation(shown)


class Found(ReverseSearchProcessor):
    """The search of earlier lines, in words: what is looked for, and the line that has it."""

    def apply_transformation(self, ti: TransformationInput) -> Transformation:
        """The row of the search."""
        made = super().apply_transformation(ti)
        if made.fragments is ti.fragments:
            return made
        letters = fragment_list_to_text(ti.fragments)
        # the library's own row: three fragments before the letters, the letters, one after them, and the line found
        line = made.fragments[5:]
        if not letters:
            line = [("", WHICH)]
        elif letters.lower() not in fragment_list_to_text(line).lower():
            line = [("", NONE)]
        before: StyleAndTextTuples = [("class:prompt.search", "find: ")]
        shift = fragment_list_len(before)
        return Transformation(
            [*before, ("class:prompt.search.text", letters), ("", " | "), *line],
            source_to_display=lambda at: at + shift,
            display_to_source=lambda at: at - shift,
        )
