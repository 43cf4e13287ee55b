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
