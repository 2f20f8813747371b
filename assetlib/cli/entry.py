"""Where the installed command begins: so light that a Ctrl-C is answered from its first moment on."""


def run() -> None:
    """Run the command line and exit with its code."""
    import sys

    try:
        from assetlib.cli.main import run as run_command

        run_command()
    except KeyboardInterrupt:
        sys.stderr.write("assetlib: stopped before anything was done\n")
        sys.exit(130)
