"""Printing on the command line: which sheets, on which paper, how large, in which ink."""

import argparse


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of printing to a parser."""
    press = parser.add_argument_group("the printed book")
    press.add_argument("--paper", choices=["letter", "a4"], help="by default letter")
    press.add_argument("--pages", metavar="KINDS", help="kinds of sheets, such as template,card; else all")
    press.add_argument(
        "--units", choices=["inch", "metric"], help="how lengths are read; else as by the ruler"
    )
    press.add_argument("--large-print", action="store_true", help="set words at 16 points")
    press.add_argument("--ink", choices=["colour", "grey"], help="by default colour")
    press.add_argument("--language", metavar="TAG", help="of the words in the book: en or de")
    press.add_argument(
        "--bars",
        nargs=3,
        metavar=("BAR", "ACROSS", "DOWN"),
        help='a check bar and what it measured: "150 mm" "148.5 mm" "149 mm" makes up for the printer',
    )
