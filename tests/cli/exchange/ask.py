"""Runs a program on a terminal and answers its questions: JSON of [prompt, reply] pairs, then the command."""

import json
import os
import pty
import select
import sys
import time

questions = json.loads(sys.argv[1])
command = sys.argv[2:]
process, terminal = pty.fork()
if process == 0:
    os.execv(command[0], command)
shown = b""
end = time.monotonic() + 60


def read():
    """What the program shows next; nothing at its end."""
    global shown
    ready, _, _ = select.select([terminal], [], [], max(0, end - time.monotonic()))
    if not ready:
        sys.exit("the program shows nothing more: " + shown.decode(errors="replace"))
    try:
        new = os.read(terminal, 4096)
    except OSError:
        new = b""
    shown += new
    return bool(new)


for prompt, reply in questions:
    while prompt.encode() not in shown:
        if not read():
            sys.exit("no question `" + prompt + "`: " + shown.decode(errors="replace"))
    shown = shown.split(prompt.encode(), 1)[1]
    # The program listens once the whole question is drawn.
    time.sleep(0.2)
    os.write(terminal, reply.encode())
while read():
    pass
_, status = os.waitpid(process, 0)
sys.stdout.buffer.write(shown)
sys.exit(os.waitstatus_to_exitcode(status))
