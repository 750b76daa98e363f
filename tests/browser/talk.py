"""What JupyterLab and the kernel say to each other, read along on the wire.

The page does not show when a folded cell has run; the messages tell. Format of a message: Jupyter
Server's WebSocket protocol v1 (number of offsets, offsets, then channel, header, parent, metadata, content).
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from playwright.sync_api import WebSocket


@dataclass
class Talk:
    """Cells asked to run and what came back; ids are those of the requests to run."""

    answered: bool = False
    asked: set[str] = field(default_factory=set)
    replied: set[str] = field(default_factory=set)
    ended: set[str] = field(default_factory=set)
    stderr: list[str] = field(default_factory=list)

    def follow(self, socket: WebSocket) -> None:
        """Read along from here on."""
        socket.on("framesent", self._sent)
        socket.on("framereceived", self._received)

    def all_ran(self) -> bool:
        """Whether every cell that was asked to run has ended, with all its outputs sent."""
        return self.asked <= self.replied and self.asked <= self.ended

    def _sent(self, frame: str | bytes) -> None:
        kind, identity, _, _ = message(frame)
        if kind == "execute_request":
            self.asked.add(identity)

    def _received(self, frame: str | bytes) -> None:
        kind, _, parent, content = message(frame)
        self.answered |= kind == "kernel_info_reply"
        if kind == "execute_reply":
            self.replied.add(parent)
            if content["status"] == "aborted":  # never begun, because a cell before it failed
                self.ended.add(parent)
        elif kind == "status" and content["execution_state"] == "idle":
            self.ended.add(parent)
        elif parent not in self.asked:
            pass  # no cell's doing: the widget manager's first question to a kernel without widgets errs too
        elif kind == "error":
            self.stderr.append("\n".join(content["traceback"]))
        elif kind == "stream" and content["name"] == "stderr":
            self.stderr.append(content["text"])


def message(frame: str | bytes) -> tuple[str, str, str, dict[str, Any]]:
    """Kind, id, id of the message it answers ('' for none) and content of one message."""
    assert isinstance(frame, bytes), "JupyterLab no longer speaks the binary protocol that this reads"
    numbers = [int.from_bytes(frame[i : i + 8], "little") for i in range(0, 8 + 8 * frame[0], 8)]
    parts = [frame[start:end] for start, end in pairwise(numbers[1:])]
    header, parent, content = json.loads(parts[1]), json.loads(parts[2]), json.loads(parts[4])
    return header["msg_type"], header["msg_id"], parent.get("msg_id", ""), content
