"""`python -m ledger` is the command `besom`."""

from ledger.cli.main import main

if __name__ == "__main__":
    main(prog_name="besom")
