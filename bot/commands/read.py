"""`fettle read --roster roster.json < messages.jsonl > readings.jsonl`: the reader alone, one line at a time."""

from __future__ import annotations

import argparse
import io
import json
import sys
from pathlib import Path

from bot.reading import explain, read
from bot.reading.formats import BadInput, as_line, kennel_of, message_of


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of `fettle read`."""
    parser.add_argument("--roster", required=True, metavar="FILE", help="who lives in the kennel: one JSON object")
    parser.add_argument("--explain", action="store_true", help="say for each message what led to its reading")


def run(args: argparse.Namespace) -> int:
    """Reads standard input to its end; 2 where the roster cannot be used, 1 where a line could not be read."""
    try:
        kennel = kennel_of(json.loads(Path(args.roster).read_text(encoding="utf-8")))
    except (OSError, UnicodeDecodeError, json.JSONDecodeError, BadInput) as e:
        print(f"fettle read: {args.roster}: {e}", file=sys.stderr)
        return 2
    bad = 0
    out = sys.stdout
    if isinstance(out, io.TextIOWrapper):
        out.reconfigure(errors="backslashreplace")  # half a surrogate pair in a text must not end the run
    for number, raw in enumerate(sys.stdin.buffer, start=1):
        if not raw.strip():
            continue
        try:
            line = json.loads(raw)
            message, before = message_of(line)
        except (UnicodeDecodeError, json.JSONDecodeError, RecursionError, BadInput) as e:
            print(f"line {number}: {e}", file=sys.stderr)
            bad += 1
            continue
        if args.explain:
            out.write(f"{message.key} {message.sender}: {message.text!r}\n")
            for reason in explain(message.text, message.sender, message.sent_at, kennel, before):
                out.write(f"    {reason}\n")
            continue
        reading = read(message.text, message.sender, message.sent_at, kennel, before)
        out.write(json.dumps(as_line(line["id"], reading), ensure_ascii=False) + "\n")
        out.flush()
    return 1 if bad else 0
