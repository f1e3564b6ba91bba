"""The command `elec live`."""

import click

from elec.cli.common import Problem, the_system


@click.command(short_help="The page beside the editor, drawn again at every save.")
@click.argument("system", required=False)
@click.option("--port", type=click.IntRange(0, 65535), default=0, help="Default: one that is free.")
@click.option("--open/--no-open", "browser", default=True, help="Open the page in the browser.")
def live(system: str | None, port: int, *, browser: bool) -> int:
    """Serve the page of the book to this machine, and draw it again whenever a file is saved.

    What the save changed (answers, verdicts, sizes) is told beside the page. While the text cannot
    be read the last good page stays, with every mistake at its line. Nobody but this machine
    reaches it. Control-C ends it.
    """
    import threading

    from elec.live.server import LOOPBACK, serving, watch
    from elec.live.watched import Watched

    watched = Watched(the_system(system))
    try:
        server = serving(watched, port)
    except OSError as error:
        raise Problem(f"Port {port} cannot be used: {(error.strerror or '').lower()}") from None
    stop = threading.Event()
    threading.Thread(target=server.serve_forever, daemon=True).start()
    address = f"http://{LOOPBACK}:{server.server_port}/"
    click.echo(f"{address}  (Control-C ends it)")
    if browser:
        click.launch(address)
    try:
        watched.look()
        watch(watched, stop)
    except KeyboardInterrupt:
        pass
    finally:
        stop.set()
        server.shutdown()
    return 0
