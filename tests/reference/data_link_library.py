"""Lets two general libraries (can-j1939, cantools) pack and decode the messages in authorities/j1939_truck_messages.json.

    python data_link_library.py < authorities/j1939_truck_messages.json

Runs in an environment of its own that holds them; nothing of the course is imported. Prints, as JSON, the bodies that
they pack from the codes and values of the file, and the codes and values that they find in its bodies.
"""

from __future__ import annotations

import json
import sys
from typing import Any

import cantools  # type: ignore[import-not-found]
from j1939.diagnostic_messages import Dm1, DtcLamp  # type: ignore[import-not-found]


class Bus:
    """What can-j1939 sends to in place of a controller on a bus."""

    def __init__(self) -> None:
        self.body = b""

    def send_pgn(self, _page: int, _format: int, _specific: int, _priority: int, data: list[int]) -> None:
        self.body = bytes(data)


def pack_dm1(codes: list[list[int]]) -> bytes:
    """Without the filling of a short message, which is the bus's affair."""
    bus = Bus()
    lamps = {"pl": DtcLamp.OFF, "awl": DtcLamp.ON, "rsl": DtcLamp.OFF, "mil": DtcLamp.OFF}
    listed = [{"spn": spn, "fmi": fmi, "oc": count} for spn, fmi, count in codes]
    Dm1(bus)._send({"cb": lambda: (lamps, listed)})
    return bus.body


def found_in_dm1(body: bytes, count: int) -> list[list[int]]:
    """The first ``count`` codes; this library takes the filling of a short message for one more."""
    reader = Dm1(Bus())
    reader._data = list(body)
    reader._parse_dm1_receive_data()
    return [[code["spn"], code["fmi"], code["oc"]] for code in reader.dtc_dic_list[:count]]


def description(fields: dict[str, list[float]]) -> Any:
    """A message whose signals lie as told: start bit, length, scale, offset."""
    lines = [
        f' SG_ S{spn} : {int(start)}|{int(length)}@1+ ({scale},{offset}) [0|0] "" Vector__XXX'
        for spn, (start, length, scale, offset) in fields.items()
    ]
    text = 'VERSION ""\nBS_:\nBU_: K0\nBO_ 2566844926 M: 8 K0\n' + "\n".join(lines) + "\n"
    return cantools.database.load_string(text, "dbc").messages[0]


def frame(told: dict[str, Any]) -> dict[str, Any]:
    message = description({spn: told["fields"][spn] for spn in told["values"]})
    values = {f"S{spn}": value for spn, value in told["values"].items()}
    return {
        "body": message.encode(values, padding=True, strict=False).hex(" ").upper(),
        "values": {name[1:]: value for name, value in message.decode(bytes.fromhex(told["body"])).items()},
    }


def main() -> None:
    told = json.load(sys.stdin)["value"]
    json.dump(
        {
            "dm1": [
                {
                    "body": pack_dm1(one["codes"]).hex(" ").upper(),
                    "codes": found_in_dm1(bytes.fromhex(one["body"]), len(one["codes"])),
                }
                for one in told["dm1"]
            ],
            "frames": [frame(one) for one in told["frames"]],
        },
        sys.stdout,
        indent=1,
    )


if __name__ == "__main__":
    main()
