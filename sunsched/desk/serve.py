"""The desk as a running server: a socket of its own, opened for this machine or for the set."""

from __future__ import annotations

import socket
from collections.abc import Callable
from datetime import datetime

import uvicorn

from sunsched.desk.app import make_app
from sunsched.desk.door.access import Access, new_keys
from sunsched.desk.door.addresses import link, own_addresses
from sunsched.desk.door.guard import Door
from sunsched.desk.watched.folders import Folders
from sunsched.desk.web.run import Desk
from sunsched.desk.work.child import Child
from sunsched.desk.work.process import Process
from sunsched.errors import SunschedError

LOOPBACK = "127.0.0.1"
EVERY = ""  # all addresses of this machine, as sockets have it; only where `--lan` asks for them
USUAL_PORT = 8471
GRACE_S = 1  # open pages are not waited for longer


def serve(
    folders: Folders,
    *,
    clock: Callable[[], datetime],
    lan: bool = False,
    port: int | None = None,
    begun: Child | None = None,
    tell: Callable[[Desk, str], None],
) -> None:
    """Serve until Ctrl-C.

    Parameters
    ----------
    folders : the day folders to show
    clock : gives the moment now, aware
    lan : let others on the network in, who have a key
    port : of the server; None for the usual one, or any if that is taken
    begun : a process that answers, begun while this was loaded
    tell : called with the desk and the address for this machine, once the server can be asked

    Raises
    ------
    SunschedError
        When the port cannot be had.
    """
    listener = _listen(EVERY if lan else LOOPBACK, port)
    with listener:
        number = listener.getsockname()[1]
        names = [LOOPBACK, "localhost"]
        addresses = own_addresses() if lan else ()
        if lan:
            names += [*addresses, socket.gethostname(), f"{socket.gethostname()}.local"]
        door = Door(hosts=[f"{name}:{number}" for name in names], keys=new_keys(), port=number)
        desk = Desk(
            folders=folders,
            door=door,
            clock=clock,
            quick=Process(begun),
            addresses=tuple(f"http://{one}:{number}" for one in addresses),
        )
        # Connections wait in the socket until the server takes them.
        tell(desk, link(f"http://{LOOPBACK}:{number}", door.keys, Access.ALL))
        config = uvicorn.Config(
            make_app(desk),
            log_level="error",
            access_log=False,  # it would hold keys
            server_header=False,
            timeout_graceful_shutdown=GRACE_S,
        )
        uvicorn.Server(config).run(sockets=[listener])


def _listen(host: str, port: int | None) -> socket.socket:
    """Open a socket: on the usual port if that is free, or on the one that is asked for."""
    reason = ""
    for number in (USUAL_PORT, 0) if port is None else (port,):
        found = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        try:
            found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            found.bind((host, number))
            found.listen(128)
        except OSError as error:
            found.close()
            reason = (error.strerror or str(error)).lower()
        else:
            return found
    raise SunschedError(f"port {port} cannot be had ({reason})\n  hint: leave out `--port`")
