"""The command line.

To add a command: write `commands/NAME.py` with a click command called `command` in it, give it
`@common_options`, import what computes inside its body, and name it in `group.COMMANDS`. What
it prints goes through `output.write_out` or a `Target`; wrong input raises `CaseError` or
`CommandError`. `main` turns errors into messages and exit statuses for all commands.

Exit status: 0 computed, whatever the answer; 2 wrong command or case; 3 not computed, because
a solution was not reached or left the range of the models; 70 unexpected fault (EX_SOFTWARE of
BSD sysexits, from memory); 130 interrupted.
"""
