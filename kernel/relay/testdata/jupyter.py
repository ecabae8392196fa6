"""Talks to the kernel named in argv as Jupyter does and prints a line for each
check: "ok NAME", or "FAIL NAME: what was wrong". Lines that begin with "info"
are for people."""

import json
import os
import queue
import signal
import sys
import time

from jupyter_client.manager import start_new_kernel
from jupyter_client.session import Session

LONG = 120  # seconds for what must come on any machine


class Heard:
    """What came in answer to a request."""

    def __init__(self):
        self.outputs = []
        self.reply = None
        self.questions = 0

    def text(self, stream):
        return "".join(m["content"]["text"] for m in self.outputs
                       if m["msg_type"] == "stream" and m["content"]["name"] == stream)

    def types(self):
        return [m["msg_type"] for m in self.outputs]

    def error(self):
        for m in self.outputs:
            if m["msg_type"] == "error":
                return m["content"]
        return None


def waiting(get):
    """Yields the messages that are there."""
    while True:
        try:
            yield get(timeout=0)
        except queue.Empty:
            return


def finish(kc, ident, answers=(), get=None, until=None):
    """Gathers what belongs to the request until it is replied to and the kernel
    is idle again."""
    heard, answers = Heard(), list(answers)
    get = get or kc.get_shell_msg
    idle, deadline = False, time.time() + LONG
    while (not idle or heard.reply is None) and time.time() < deadline:
        try:
            m = kc.get_iopub_msg(timeout=0.02)
            if m["parent_header"].get("msg_id") == ident:
                if m["msg_type"] == "status":
                    idle = idle or m["content"]["execution_state"] == "idle"
                else:
                    heard.outputs.append(m)
        except queue.Empty:
            pass
        if heard.reply is None:
            for m in waiting(get):
                if m["parent_header"].get("msg_id") == ident:
                    heard.reply = m["content"]
                    break
        for m in waiting(kc.get_stdin_msg):
            heard.questions += 1
            kc.input(answers.pop(0))
        if until and until(heard):
            return heard
    if heard.reply is None or not idle:
        raise AssertionError("no reply or idle; so far %s" % [m["content"] for m in heard.outputs])
    return heard


def run(kc, code, answers=(), **more):
    return finish(kc, kc.execute(code, **more), answers)


def control(kc, typ, content=None):
    msg = kc.session.msg(typ, content or {})
    kc.control_channel.send(msg)
    return finish(kc, msg["header"]["msg_id"], get=kc.get_control_msg)


def same(got, want):
    assert got == want, "got %r, want %r" % (got, want)


def within(seconds, since):
    took = time.time() - since
    assert took < seconds, "took %.2f s" % took


def program(*lines):
    return "%%\n" + "\n".join(lines)


CHECKS = []


def check(f):
    CHECKS.append(f)
    return f


@check
def kernel_info(km, kc):
    info = control(kc, "kernel_info_request").reply
    same((info["status"], info["implementation"], info["protocol_version"]), ("ok", "railbook", "5.4"))


@check
def execute(km, kc):
    h = run(kc, program('fmt.Println(1+1, "λ ≥ 0.82")'))
    same((h.text("stdout"), h.reply["status"]), ("2 λ ≥ 0.82\n", "ok"))
    first = h.reply["execution_count"]
    same(run(kc, program("fmt.Println()")).reply["execution_count"], first + 1)
    h = run(kc, program('fmt.Println("unheard")'), silent=True)
    same((h.types(), h.reply["execution_count"]), ([], first + 1))
    same(run(kc, "", silent=True).reply["execution_count"], first + 1)


@check
def streams_in_order(km, kc):
    body = []
    for i in range(20):
        body += ['fmt.Println("a%d")' % i, 'fmt.Fprintln(os.Stderr, "b%d")' % i, 'gonbui.DisplayHTML("c%d")' % i, "gonbui.Sync()"]
    h = run(kc, 'import "github.com/janpfeifer/gonb/gonbui"\n' + program(*body))
    same(h.reply["status"], "ok")
    seen = [m["content"].get("text") or m["content"]["data"]["text/html"] for m in h.outputs if m["msg_type"] != "execute_input"]
    same("".join(s.strip() for s in seen), "".join("a%db%dc%d" % (i, i, i) for i in range(20)))


@check
def nothing_is_lost(km, kc):
    h = run(kc, program('for i := range 500 { gonbui.DisplayHTML(fmt.Sprint(i)) }'))
    shown = [m["content"]["data"]["text/html"] for m in h.outputs if m["msg_type"] == "display_data"]
    same(shown, [str(i) for i in range(500)])
    h = run(kc, program('fmt.Print(strings.Repeat("é", 200_000))'))
    same(h.text("stdout"), "é" * 200_000)


@check
def failures(km, kc):
    for code, name, value in [
        (program("fmt.Println(y)"), "compile error", "undefined: y"),
        (program('panic("no fuel")'), "panic", "no fuel"),
        (program("os.Exit(3)"), "exit status 3", None),
        ("!exit 4", "exit status 4", None),
    ]:
        h = run(kc, code)
        e = h.error()
        assert e and h.reply["status"] == "error", "%s: %s" % (code, h.reply)
        same((e["ename"], h.reply["ename"]), (name, name))
        if value:
            assert value in e["evalue"], e
        assert e["traceback"] and name in "\n".join(e["traceback"]) or "exit" in name, e
    same(run(kc, program('fmt.Print("alive")')).text("stdout"), "alive")


@check
def runaway_is_interrupted(km, kc):
    ident = kc.execute(program('fmt.Println("on and on")', "for {", "}"))
    behind = kc.execute(program('fmt.Println("never")'))
    finish(kc, ident, until=lambda h: h.text("stdout"))
    since = time.time()
    km.interrupt_kernel()
    h = finish(kc, ident)
    print("info run-away cell interrupted after %.3f s" % (time.time() - since))
    within(5, since)
    same((h.reply["status"], h.reply["ename"]), ("error", "interrupted"))
    same(finish(kc, behind).reply["status"], "aborted")


@check
def shell_is_interrupted(km, kc):
    ident = kc.execute("!echo going; (sleep 300; echo no) ; sleep 300")
    finish(kc, ident, until=lambda h: h.text("stdout"))
    since = time.time()
    km.interrupt_kernel()
    h = finish(kc, ident)
    print("info shell command interrupted after %.3f s" % (time.time() - since))
    within(5, since)
    same(h.reply["ename"], "interrupted")
    same(run(kc, program('fmt.Print("alive")')).text("stdout"), "alive")


@check
def build_is_interrupted(km, kc):
    # What takes long to compile: a very large table.
    ident = kc.execute("var table = [...]string{" + ",".join('"%d"' % i for i in range(200_000)) + "}\n" + program("fmt.Println(len(table))"))
    finish(kc, ident, until=lambda h: h.types())
    time.sleep(0.3)
    since = time.time()
    km.interrupt_kernel()
    h = finish(kc, ident)
    print("info build interrupted after %.3f s" % (time.time() - since))
    within(5, since)
    same(h.reply["ename"], "interrupted")


@check
def stop_on_error(km, kc):
    ids = [kc.execute(program("os.Exit(1)")), kc.execute(program("fmt.Println()"))]
    same([finish(kc, i).reply["status"] for i in ids], ["error", "aborted"])
    ids = [kc.execute(program("os.Exit(1)"), stop_on_error=False), kc.execute(program("fmt.Println()"))]
    same([finish(kc, i).reply["status"] for i in ids], ["error", "ok"])


@check
def answered_while_busy(km, kc):
    ident = kc.execute(program('fmt.Println("busy")', "time.Sleep(3 * time.Second)"))
    finish(kc, ident, until=lambda h: h.text("stdout"))
    since = time.time()
    control(kc, "kernel_info_request")
    finish(kc, kc.is_complete("x"))
    within(2, since)
    same(finish(kc, ident).reply["status"], "ok")


@check
def is_complete(km, kc):
    for code, status in [("func f() {", "incomplete"), ("x := 1", "complete"), ("%env A=1", "complete"), ("x)", "invalid")]:
        same(finish(kc, kc.is_complete(code)).reply["status"], status)


@check
def history(km, kc):
    code = program('fmt.Println("remember")')
    run(kc, code)
    got = finish(kc, kc.history(raw=True, output=False, hist_access_type="tail", n=1)).reply["history"]
    same([h[2] for h in got], [code])


@check
def complete_and_inspect(km, kc):
    same(finish(kc, kc.complete("fm", 2)).reply["matches"], [])
    same(finish(kc, kc.inspect("fmt", 3)).reply["status"], "ok")


@check
def comms(km, kc):
    same(finish(kc, kc.comm_info()).reply["comms"], {})
    msg = kc.session.msg("comm_open", {"comm_id": "u", "target_name": "unknown", "data": {}})
    kc.shell_channel.send(msg)
    deadline = time.time() + LONG
    while time.time() < deadline:
        m = kc.get_iopub_msg(timeout=LONG)
        if m["msg_type"] == "comm_close":
            return same(m["content"]["comm_id"], "u")
    raise AssertionError("not closed")


@check
def input(km, kc):
    code = program('gonbui.RequestInput("name?", false)', "var s string", "fmt.Scanln(&s)", 'fmt.Print("hello ", s)')
    h = run(kc, code, ["Ada"], allow_stdin=True)
    same((h.questions, h.text("stdout")), (1, "hello Ada"))
    h = run(kc, code, allow_stdin=False)
    same((h.questions, h.reply["status"], h.reply["ename"]), (0, "error", "no input"))


@check
def user_expressions(km, kc):
    h = run(kc, program("fmt.Println()"), user_expressions={"a": "1+1"})
    same(h.reply["user_expressions"]["a"]["status"], "error")


@check
def bad_messages(km, kc):
    key = kc.session.key
    kc.session.key = b"another"
    kc.execute(program('fmt.Println("forged")'))
    kc.session.key = key
    for content in [{}, {"code": "%%"}, {"code": 7}, {"code": "", "silent": 1}]:
        msg = kc.session.msg("execute_request", content)
        kc.shell_channel.send(msg)
        finish(kc, msg["header"]["msg_id"])
    kc.shell_channel.send(kc.session.msg("no_such_request", {}))
    kc.shell_channel.socket.send_multipart([b"garbage"])
    kc.control_channel.socket.send_multipart([b"<IDS|MSG>", b"", b"{"])
    same(run(kc, program('fmt.Print("alive")')).text("stdout"), "alive")


@check
def cell_kernel_dies(km, kc):
    h = run(kc, "!kill -9 $PPID; sleep 5")
    same((h.reply["status"], h.reply["ename"]), ("error", "kernel died"))
    assert km.is_alive(), "the kernel died too"
    since = time.time()
    same(run(kc, program('fmt.Print("alive")')).text("stdout"), "alive")
    print("info next cell after a death took %.3f s" % (time.time() - since))


@check
def speed(km, kc):
    times = []
    for i in range(5):
        since = time.time()
        run(kc, program("fmt.Println(%d)" % i))
        times.append(time.time() - since)
    print("info trivial cell: %.3f s (median of 5)" % sorted(times)[2])
    times = []
    for i in range(50):
        since = time.time()
        kc.kernel_info(reply=True, timeout=LONG)
        times.append(time.time() - since)
    print("info kernel_info: %.2f ms (median of 50)" % (1000 * sorted(times)[25]))


@check
def restart(km, kc):
    run(kc, "var kept = 1\n" + program("fmt.Println(kept)"))
    before = km.provisioner.pid
    since = time.time()
    km.restart_kernel(now=False)
    kc.wait_for_ready(timeout=LONG)
    print("info restarted after %.3f s" % (time.time() - since))
    assert km.provisioner.pid != before, "the same process"
    h = run(kc, program('fmt.Print("anew")'))
    same((h.text("stdout"), h.reply["execution_count"]), ("anew", 1))
    same(run(kc, program("fmt.Println(kept)")).reply["status"], "error")


@check
def shutdown(km, kc):
    kc.execute(program("for {", "}"))
    time.sleep(1)
    since = time.time()
    km.shutdown_kernel(now=False)
    print("info shut down after %.3f s" % (time.time() - since))
    assert not km.is_alive(), "still alive"


def main():
    since = time.time()
    km, kc = start_new_kernel(kernel_name=sys.argv[1], startup_timeout=LONG)
    print("info ready after %.3f s" % (time.time() - since))
    wanted = sys.argv[2:]
    try:
        for f in CHECKS:
            if wanted and f.__name__ not in wanted:
                continue
            try:
                f(km, kc)
                print("ok", f.__name__)
            except Exception as e:
                print("FAIL %s: %s: %s" % (f.__name__, type(e).__name__, str(e).replace("\n", " ")[:2000]))
            sys.stdout.flush()
    finally:
        kc.stop_channels()
        if km.is_alive():
            km.shutdown_kernel(now=True)


main()
