"""Figures that the code blocks of a page print, against what the code gives."""

import ast
import re


def close(got, printed):
    """Numbers to half a unit of the last printed digit, all else as it is."""
    if isinstance(printed, tuple):
        return len(got) == len(printed) and all(close(a, b) for a, b in zip(got, printed))
    if re.fullmatch(r"-?\d+\.?\d*", printed):
        digits = len(printed.partition(".")[2])
        return abs(float(got) - float(printed)) <= 0.5000001 * 10.0**-digits
    return str(got) == printed


def printed_value(text):
    if text.startswith("(") and not re.search("[a-z]", text):
        return tuple(part.strip() for part in text[1:-1].split(","))
    return text


def checked_lines(text):
    """Runs the blocks of a page in order; yields each line with a printed figure, its value and the figure."""
    names = {}
    for block in re.findall(r"^```python\n(.*?)^```", text, re.MULTILINE | re.DOTALL):
        for node in ast.parse(block).body:
            source = ast.get_source_segment(block, node)
            line = block.splitlines()[node.end_lineno - 1]
            figure = line.partition("# =>")[2].strip()
            if figure:
                yield source, eval(source, names), printed_value(figure)
            else:
                exec(source, names)
