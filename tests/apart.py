"""Words of a page lie inside the safe area, are large enough, and none is on another or cut short."""

import pdfplumber.page


def check_words(page: pdfplumber.page.Page) -> None:
    """Look at every letter and every pair of words of a page."""
    assert page.chars
    for letter in page.chars:
        where = (page.page_number, letter["text"])
        assert letter["x0"] >= 18 and letter["x1"] <= page.width - 18, where
        assert letter["top"] >= 18 and letter["bottom"] <= page.height - 18, where
        assert letter["size"] >= 8 - 1e-3, where
    words = sorted(page.extract_words(keep_blank_chars=False), key=lambda word: word["top"])
    assert not [word["text"] for word in words if "…" in word["text"].strip("…")]
    for place, first in enumerate(words):
        for second in words[place + 1 :]:
            if second["top"] > first["bottom"]:
                break
            across = min(first["x1"], second["x1"]) - max(first["x0"], second["x0"])
            down = min(first["bottom"], second["bottom"]) - second["top"]
            # A third of a small letter's height may be empty leading.
            assert across <= 0.2 or down <= 2.7, (page.page_number, first["text"], second["text"])


def headings_of(page, large: bool) -> list[dict]:
    """Give the letters of a page's headings, the last of which must not stand alone at its end."""
    foot = max(letter["bottom"] for letter in page.chars) - 16
    body = [letter for letter in page.chars if letter["bottom"] < foot]
    least = 17 if large else 13.5
    found = [letter for letter in body if "Bold" in letter["fontname"] and letter["size"] > least]
    if found:
        last = max(letter["bottom"] for letter in found)
        shapes = (*page.rects, *page.lines, *page.curves)
        below = [each for each in (*body, *shapes) if last + 2 < each["bottom"] < foot]
        assert below, (page.page_number, page.extract_text()[-200:])
    return found
