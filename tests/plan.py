"""Drives `anchorwise plan` over HTTP: python3 plan.py WHAT PROGRAM FOLDER. Exits with 0 if it held."""
import http.client
import json
import os
import random
import resource
import signal
import socket
import stat
import struct
import subprocess
import sys
import time

program, folder = sys.argv[2], sys.argv[3]
HALL = os.path.join(folder, "hall.yaml")
TEXT = """anchorwise: 1
title: hall
floor: {outline: [[0, 0], [20, 0], [20, 10], [0, 10]], ceiling: 6}
obstacles:
  - {name: press, footprint: [[9, 4], [11, 4], [11, 6], [9, 6]], top: 3, material: metal}
anchors:  # as drawn
  - {name: A1, at: [0.5, 0.5, 5]}
  - {name: A2, at: [19.5, 0.5, 5]}
  - {name: A3, at: [19.5, 9.5, 5]}
  - {name: A4, at: [0.5, 9.5, 5]}
  - {name: A5, at: [10, 9.5, 5]}
tags: [{name: cart, height: 1}, {name: pole, height: 2}]
zones:
  - {name: bay, outline: [[1, 1], [9, 1], [9, 9], [1, 9]], need: {p95: 0.6, share: 0.5}}
  - {name: dock, outline: [[12, 1], [19, 1], [19, 9], [12, 9]], tag: pole, need: {p95: 0.6}}
prices: {currency: EUR, anchor: 100, mounts: [{name: bracket, up_to: 6, price: 10}]}
study: {step: 0.5, draws: 300, seed: 1}
"""


class Plan:
    """The program at work on a scenario."""

    def __init__(self, path=HALL, *options):
        environment = dict(os.environ, XDG_STATE_HOME=os.path.join(folder, "state"))
        self.process = subprocess.Popen([program, "plan", *options, path], env=environment,
                                        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        address = self.process.stdout.readline().strip()
        assert address.startswith("http://127.0.0.1:") and "/#" in address, address
        self.host, self.token = address[len("http://"):].split("/#")
        self.port = int(self.host.split(":")[1])

    def __enter__(self):
        return self

    def __exit__(self, *what):
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
            assert self.process.wait(20) == 130
        self.process.stdout.close()
        complaints = self.process.stderr.read()
        self.process.stderr.close()
        assert "Sanitizer" not in complaints and "runtime error" not in complaints, complaints

    def kill(self):
        self.process.kill()
        self.process.wait()

    def ask(self, method, path, body=None, **headers):
        connection = http.client.HTTPConnection(self.host, timeout=120)
        sent = {"Anchorwise-Token": self.token}
        sent.update({key.replace("_", "-"): value for key, value in headers.items()})
        data = json.dumps(body) if body is not None and not isinstance(body, bytes) else body
        connection.request(method, path, data, {k: v for k, v in sent.items() if v is not None})
        return connection.getresponse()

    def json(self, method, path, body=None):
        reply = self.ask(method, path, body)
        return reply.status, json.loads(reply.read())

    def scene(self):
        status, scene = self.json("GET", "/scene")
        assert status == 200
        return scene

    def stream(self, path, body):
        reply = self.ask("POST", path, body)
        assert reply.status == 200, (reply.status, reply.read())
        return frames(reply)

    def edit(self, *ops, hold=False):
        return self.stream("/edit", {"rev": 0, "hold": hold, "do": list(ops)})

    def save(self, **how):
        return self.json("POST", "/save", {"rev": 0, **how})


def frames(reply):
    """Every frame of a reply: kind, flags, draws, body."""
    found = []
    while head := reply.read(4):
        size, = struct.unpack("<I", head)
        assert size % 4 == 0
        data = reply.read(size)
        assert len(data) == size
        rev, kind, flags, draws = struct.unpack("<IHHI", data[:12])
        body = json.loads(data[12:]) if kind in (1, 3) else data[12:]
        found.append((kind, flags, draws, body, rev))
    return found


def move(name, *at):
    return {"op": "set", "at": ["anchors", name, "at"], "value": list(at)}


def last_json(found):
    return [body for kind, _, _, body, _ in found if kind == 1][-1]


def write_hall(text=TEXT):
    with open(HALL, "w", encoding="utf-8") as file:
        file.write(text)


def read_hall():
    with open(HALL, encoding="utf-8") as file:
        return file.read()


# --- what it answers ---

def answers():
    """Estimate at once, draws behind it, and what stands is what `assess` says of the saved file."""
    with Plan() as plan:
        scene = plan.scene()
        assert [a["name"] for a in scene["anchors"]] == ["A1", "A2", "A3", "A4", "A5"]
        assert scene["grid"]["nx"] == 40 and scene["grid"]["ny"] == 20
        found = plan.edit(move("A1", 3, 2, 5))
        kinds = [(kind, flags, draws) for kind, flags, draws, _, _ in found]
        assert kinds == [(1, 1, 0), (2, 1, 0), (1, 0, 96), (2, 0, 96), (1, 0, 200), (2, 0, 200),
                         (1, 0, 300), (2, 0, 300), (4, 0, 0)], kinds
        assert "scene" in found[0][3] and "scene" not in found[2][3]
        for kind, _, _, body, _ in found:
            if kind == 2:
                assert len(body) == 40 * 20 * 4
        grid = struct.unpack("<800f", found[7][3])
        assert sum(value != value for value in grid) == 4 * 4  # under the press no tag can be
        assert plan.save()[0] == 200
        standing = last_json(found)
    told = subprocess.run([program, "assess", "--json", HALL], capture_output=True, text=True)
    zones = json.loads(told.stdout)["zones"]
    for ours, theirs in zip(standing["zones"], zones):
        assert ours["name"] == theirs["name"]
        assert ours["p95_m"] == theirs["p95_m"], (ours, theirs)
    cells = subprocess.run([program, "assess", "--cells", "-", "--out", "/dev/null", HALL],
                           capture_output=True, text=True).stdout.splitlines()
    column = cells[0].split(",").index("p95_m")
    drawn = [float(row.split(",")[column] or "inf") for row in cells[1:]]
    shown = [value for value in grid if value == value]
    assert len(drawn) == len(shown)
    for a, b in zip(drawn, shown):
        assert a == b or abs(a - b) <= 1e-6 * abs(a), (a, b)


def steps_back():
    """A hundred random steps and all of them back: the file as it was, byte for byte."""
    dice = random.Random(3)
    with Plan() as plan:
        for _ in range(100):
            name = f"A{dice.randint(1, 5)}"
            at = (dice.uniform(0.1, 19.9), dice.uniform(0.1, 9.9), dice.uniform(1, 6))
            plan.ask("POST", "/edit", {"do": [move(name, *at)]}).close()
        scene = plan.scene()
        assert scene["steps"] == 100 and scene["unsaved"] == 100 and len(scene["log"]) == 100
        assert plan.save()[0] == 200
        assert read_hall() != TEXT
        plan.stream("/go", {"step": 0})
        assert plan.save()[0] == 200
        assert read_hall() == TEXT
        assert plan.scene()["forward"] == 100


def tells():
    """The log says what each step did to zones and price, against the step before it."""
    with Plan() as plan:
        plan.edit()
        before = last_json(plan.edit())
        for op, does in ((move("A1", 18, 1, 5), "A1 moved 17.51 m – bay "),
                         (move("A1", 0.5, 0.5, 5), "A1 moved 17.51 m – bay "),
                         (move("A5", 10.1, 9.5, 5), "A5 moved 0.10 m – no zone changes by 5 %"),
                         ({"op": "add", "at": ["anchors"], "value": {"name": "A6", "at": [5, 0.5, 5]}},
                          "A6 added – ")):
            told = last_json(plan.edit(op))
            assert told["log"].startswith(does), told["log"]
            logged = plan.scene()["log"][-1]["words"]
            assert logged == told["log"], (logged, told["log"])
        assert told["log"].endswith("; +110 EUR"), told["log"]
        assert told["price"]["total"] == before["price"]["total"] + 110


def holds():
    """While the hand is down nothing is kept; the figures are those of the step that follows."""
    with Plan() as plan:
        held = plan.edit(move("A1", 4, 4, 5), hold=True)
        assert plan.scene()["steps"] == 0
        kept = plan.edit(move("A1", 4, 4, 5))
        assert [body for kind, _, _, body, _ in held if kind == 2] == \
               [body for kind, _, _, body, _ in kept if kind == 2]
        again = plan.edit(hold=True)
        assert again[-1][0] == 4


def overtakes():
    """A newer edit ends the older reply early, and the newest stands."""
    with Plan() as plan:
        replies = [plan.ask("POST", "/edit", {"hold": True, "do": [move("A1", 1 + i / 10, 2, 5)]})
                   for i in range(20)]
        found = [frames(reply) for reply in replies]
        assert found[-1][-1][0] == 4
        assert sum(len(f) < 9 for f in found[:-1]) > 10


def tags():
    """The chart shows one tag at a time; a zone's verdict is its own tag's."""
    with Plan() as plan:
        cart = plan.stream("/edit", {"do": [], "tag": "cart"})
        pole = plan.stream("/edit", {"do": [], "tag": "pole"})
        assert last_json(cart)["zones"] == last_json(pole)["zones"]
        assert cart[-2][3] != pole[-2][3]
        assert pole[0][3]["scene"]["tag"] == "pole"


# --- what takes longer ---

def explains():
    """A spot: who serves it, who is lost to what, and a remedy that can be asked for as it stands."""
    write_hall(TEXT.replace("metal}", "metal}\n  - {name: rack, footprint: [[2, 3], [8, 3], [8, 3.6],"
                            " [2, 3.6]], top: 5.9, material: metal}"))
    with Plan() as plan:
        before = plan.edit()
        status, told = plan.json("POST", "/spot", {"at": [4, 2.5]})
        assert status == 200, told
        assert told["at"] == [4, 2.5, 1] and told["tag"] == "cart"
        serving = {line["anchor"] for line in told["serving"]}
        lost = {name for group in told["lost"] for name in group["anchors"]}
        assert serving | lost == {"A1", "A2", "A3", "A4", "A5"} and not serving & lost
        assert "rack" in {group["by"] for group in told["lost"]}
        assert told["remedies"] and told["words"]
        p95 = told.get("p95_m", 1e9)
        plan.edit(*told["remedies"][0]["do"])
        assert plan.json("POST", "/spot", {"at": [4, 2.5]})[1]["p95_m"] < 0.85 * p95
        plan.stream("/go", {"step": 0})
        assert plan.edit()[-2][3] == before[-2][3]
        for wrong in ([1], "x", [1e300, 0], [None, 2], [-5, -5]):
            assert plan.json("POST", "/spot", {"at": wrong})[0] == 400, wrong
        assert plan.json("POST", "/spot", {"at": [-7, 3]}) == \
            (400, {"error": "this spot is off the floor"})


def finds_places():
    """The search is told stage by stage, its layout is one step; stopped, nothing is changed."""
    write_hall(TEXT.replace("draws: 300", "draws: 100"))
    with Plan() as plan:
        found = plan.stream("/run", {"what": "place", "options": {}})
        progress = [body["progress"] for kind, _, _, body, _ in found
                    if kind == 1 and "progress" in body]
        assert progress and found[-1][0] == 4
        scene = [body for kind, _, _, body, _ in found if kind == 1 and "scene" in body][0]["scene"]
        assert scene["steps"] == 1 and scene["log"][0]["words"].startswith("places found for ")
        plan.stream("/go", {"step": 0})
        assert plan.save()[0] == 200
        assert read_hall() == TEXT.replace("draws: 300", "draws: 100")
        reply = plan.ask("POST", "/run", {"what": "place"})
        refused = plan.edit(move("A1", 3, 2, 5))
        assert refused[0][0] == 3 or plan.scene()["steps"] > 0  # or it was over before
        assert plan.json("POST", "/stop", {})[0] == 200
        frames(reply)
        assert plan.edit(move("A1", 3, 2, 5))[-1][0] == 4


def hands_out():
    """What is handed out is made from the file as it was saved, under names that are free."""
    with Plan() as plan:
        plan.edit(move("A1", 3, 2, 5))
        assert plan.json("POST", "/hand-out", {"what": "chart"})[0] == 409
        assert plan.save()[0] == 200
        assert plan.json("POST", "/hand-out", {"what": "../x"})[0] == 400
        for what, name in (("chart", "hall-chart.pdf"), ("chart", "hall-chart-2.pdf"),
                           ("drawing", "hall.dxf"), ("installers", "hall-installers.pdf"),
                           ("report", "hall-report.html")):
            status, told = plan.json("POST", "/hand-out", {"what": what})
            assert (status, told.get("file")) == (200, name), told
            assert os.path.getsize(os.path.join(folder, name)) > 1000


def pictures():
    """The client's plan is kept as it came, and comes back as PNG whatever it was."""
    head = "anchorwise: 1\ntitle: hall\n"
    svg = b'<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20"><path d="M0 0H40"/></svg>'
    with Plan() as plan:
        assert plan.ask("GET", "/picture").status == 404
        assert plan.ask("POST", "/picture", b"GIF89a").status == 400
        assert plan.ask("POST", "/picture", b"").status == 400
        status, told = plan.json("POST", "/picture", svg)
        assert (status, told["file"]) == (200, "hall-picture.svg"), told
        with open(os.path.join(folder, "hall-picture.svg"), "rb") as file:
            assert file.read() == svg
        found = plan.edit({"op": "set", "at": ["floor", "picture"], "value": {
            "file": "hall-picture.svg", "points": [[0, 20, 0, 0], [40, 0, 20, 10]]}})
        assert found[0][3]["scene"]["picture"]["points"] == [[0, 20, 0, 0], [40, 0, 20, 10]]
        reply = plan.ask("GET", "/picture")
        assert reply.status == 200 and reply.getheader("Content-Type") == "image/png"
        assert reply.getheader("Anchorwise-Size") == "40 20"
        assert reply.read().startswith(b"\x89PNG")
        large = b"\x89PNG\r\n\x1a\n" + b"x" * (17 << 20)
        try:
            assert plan.ask("POST", "/picture", large).status == 413
        except OSError:
            pass  # the rest is not read
        assert plan.save()[0] == 200
    assert head in read_hall()


# --- files ---

def saves():
    """Comments stay, the mode too, and a symbolic link is written through."""
    os.chmod(HALL, 0o640)
    link = os.path.join(folder, "link.yaml")
    os.symlink(HALL, link)
    with Plan(link) as plan:
        plan.edit(move("A1", 3, 2, 5))
        status, told = plan.save()
        assert status == 200 and told["unsaved"] == 0
    assert os.path.islink(link)
    assert read_hall() == TEXT.replace("[0.5, 0.5, 5]", "[3, 2, 5]")
    assert stat.S_IMODE(os.stat(HALL).st_mode) == 0o640


def conflicts():
    """A file changed on disk is not overwritten unasked."""
    with Plan() as plan:
        plan.edit(move("A1", 3, 2, 5))
        assert plan.json("GET", "/disk")[1]["changed"] is False
        write_hall(TEXT.replace("[0.5, 9.5, 5]", "[0.7, 9.5, 5]"))
        disk = plan.json("GET", "/disk")[1]
        clean = {"items": [], "clean": True, "gone": False}
        assert disk["changed"] is True and disk["conflict"] == clean
        status, told = plan.save()
        assert status == 409 and told["conflict"] == clean
        write_hall(TEXT.replace("[0.5, 0.5, 5]", "[0.9, 0.5, 5]"))
        status, told = plan.save()
        assert status == 409 and told["conflict"]["clean"] is False
        assert told["conflict"]["items"] == [{"item": "anchors.A1",
                                              "mine": "{name: A1, at: [3, 2, 5]}",
                                              "disk": "{name: A1, at: [0.9, 0.5, 5]}"}]
        status, told = plan.save(**{"as": True})
        assert status == 200 and told["written"] == "hall-mine.yaml"
        assert "[0.9, 0.5, 5]" in read_hall()
        status, told = plan.save(put_on_top=True)
        assert status == 200 and told["unsaved"] == 1
        assert plan.save()[0] == 200
        assert read_hall() == TEXT.replace("[0.5, 0.5, 5]", "[3, 2, 5]")


def killed():
    """What was acknowledged outlasts a kill, in a file that nobody else may read."""
    plan = Plan()
    plan.edit(move("A1", 3, 2, 5))
    plan.edit(move("A2", 17, 2, 5))
    with Plan() as second:
        assert second.scene()["file"]["read_only"] is True
        assert second.edit(move("A1", 1, 1, 1))[0][0] == 3
    plan.kill()
    state = os.path.join(folder, "state", "anchorwise")
    for name in os.listdir(state):
        assert stat.S_IMODE(os.stat(os.path.join(state, name)).st_mode) == 0o600, name
    assert stat.S_IMODE(os.stat(state).st_mode) == 0o700
    assert read_hall() == TEXT
    with Plan() as plan:
        assert plan.scene()["recovered"] == 2
        assert plan.edit(move("A1", 1, 1, 1))[0][0] == 3
        plan.stream("/recover", {"take": True})
        scene = plan.scene()
        assert scene["steps"] == 2 and scene["unsaved"] == 2 and "recovered" not in scene
        assert plan.save()[0] == 200
    assert "[3, 2, 5]" in read_hall() and "[17, 2, 5]" in read_hall()
    with Plan() as plan:
        assert "recovered" not in plan.scene()


def begins_empty():
    """A file that is not there is written when it is saved."""
    path = os.path.join(folder, "new hall.yaml")
    with Plan(path) as plan:
        scene = plan.scene()
        assert scene["file"]["exists"] is False and scene["outline"] == []
        nothing = plan.stream("/edit", {"do": []})
        assert nothing[-1][0] == 4 and "no floor" in nothing[0][3]["headline"]
        corners = [[0, 0], [30, 0], [30, 20], [0, 20]]
        found = plan.edit({"op": "set", "at": ["floor"],
                           "value": {"outline": corners, "ceiling": 7}})
        assert found[0][3]["scene"]["outline"] == corners
        assert found[0][3]["scene"]["anchors"] == []
        assert found[0][3]["headline"].startswith("Three anchors")
        for i, (x, y) in enumerate(((1, 1), (29, 1), (29, 19), (1, 19))):
            found = plan.edit({"op": "add", "at": ["anchors"],
                               "value": {"name": f"A{i + 1}", "at": [x, y, 6]}})
        assert found[-2][0] == 2 and found[-1][0] == 4
        assert not os.path.exists(path)
        assert plan.save()[0] == 200
    assert subprocess.run([program, "check", path], capture_output=True).returncode == 0


def is_wrong():
    """A wrong file is shown with the lines of its mistakes, and can be mended on disk."""
    write_hall(TEXT.replace("ceiling: 6", "ceiling: -6"))
    with Plan() as plan:
        mistakes = plan.scene()["mistakes"]
        assert mistakes[0]["line"] == 3 and "ceiling" in mistakes[0]["text"]
        assert mistakes[0]["item"] == "floor.ceiling", mistakes[0]
        assert mistakes[0]["source"] == [{"line": 2, "text": "title: hall"},
                                         {"line": 3, "text": read_hall().splitlines()[2]}]
        assert plan.stream("/edit", {"do": []})[-1][0] == 4
        write_hall()
        assert plan.save()[0] == 409
        assert plan.save(take_disk=True)[0] == 200
        assert plan.scene()["mistakes"] == []


# --- who may ask ---

def guards():
    """Without token, by another name, from another origin: nothing, and nothing about why."""
    with Plan() as plan:
        for headers in ({"Anchorwise_Token": None}, {"Anchorwise_Token": "0" * 32},
                        {"Anchorwise_Token": plan.token[:-1]},
                        {"Host": f"localhost:{plan.port}"}, {"Host": "evil.example"},
                        {"Origin": "http://evil.example"}, {"Origin": "null"},
                        {"Origin": f"https://{plan.host}"}):
            for method, path in (("GET", "/scene"), ("POST", "/edit"), ("POST", "/save"),
                                 ("GET", "/disk"), ("POST", "/go"), ("GET", "/nowhere")):
                reply = plan.ask(method, path, {} if method == "POST" else None, **headers)
                assert reply.status == 403, (headers, path, reply.status)
                assert reply.read() == b"not allowed\n"
                assert reply.getheader("Access-Control-Allow-Origin") is None
        assert plan.ask("OPTIONS", "/edit", Origin="http://evil.example",
                        Access_Control_Request_Method="POST").status == 403
        page = plan.ask("GET", "/", Anchorwise_Token=None)
        policy = page.getheader("Content-Security-Policy")
        assert page.status == 200 and "default-src 'none'" in policy
        assert "require-trusted-types-for 'script'" in policy
        assert plan.ask("GET", "/", Host="evil.example").status == 403
        same = plan.ask("GET", "/scene", Origin=f"http://{plan.host}")
        assert same.status == 200
        for path in ("/../hall.yaml", "/..%2fhall.yaml", "//etc/passwd", "/hall.yaml"):
            assert plan.ask("GET", path).status == 404, path
        assert plan.ask("GET", "/edit").status == 405
        assert plan.token not in page.read().decode()


def is_not_said():
    """The address is printed once, and no other machine's addresses are listened at."""
    with Plan() as plan:
        with socket.socket() as other:
            other.settimeout(5)
            assert other.connect_ex(("127.0.0.2", plan.port)) != 0


def port():
    """A port in use is one clear line; so is a browser that is not there."""
    with Plan() as plan:
        told = subprocess.run([program, "plan", "--port", str(plan.port), HALL],
                              capture_output=True, text=True)
        assert told.returncode == 2 and told.stderr.count("\n") == 1
        assert f"port {plan.port} is in use" in told.stderr, told.stderr
    for path in ("", "/dev/null", folder, os.path.join(folder, "none", "hall.yaml"), "-"):
        told = subprocess.run([program, "plan", path], capture_output=True, text=True, timeout=20)
        assert told.returncode == 2 and told.stderr.count("\n") == 1 and not told.stdout, told
    for wrong in ("70000", "-1", "x", ""):
        told = subprocess.run([program, "plan", "--port", wrong, HALL], capture_output=True,
                              text=True)
        assert told.returncode == 2 and "--port" in told.stderr
    environment = dict(os.environ, PATH=folder, XDG_STATE_HOME=folder, XDG_RUNTIME_DIR=folder)
    opened = subprocess.Popen([program, "plan", "--open", HALL], env=environment, text=True,
                              stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    assert opened.stdout.readline().startswith("http://127.0.0.1:")
    assert "no browser" in opened.stderr.readline()
    doors = [name for name in os.listdir(folder) if name.endswith(".html")]
    assert len(doors) == 1
    assert stat.S_IMODE(os.stat(os.path.join(folder, doors[0])).st_mode) == 0o600
    opened.send_signal(signal.SIGINT)
    assert opened.wait(20) == 130
    assert not os.path.exists(os.path.join(folder, doors[0]))
    opened.stdout.close()
    opened.stderr.close()


# --- hostile ---

def raw(plan, data, wait=10):
    with socket.create_connection(("127.0.0.1", plan.port), timeout=wait) as connection:
        try:
            connection.sendall(data)
            connection.shutdown(socket.SHUT_WR)
            return b"".join(iter(lambda: connection.recv(1 << 16), b""))
        except OSError:
            return b""


def good(plan, body=b'{"hold": true, "do": []}', path=b"/edit"):
    return (b"POST " + path + b" HTTP/1.1\r\nHost: " + plan.host.encode() +
            b"\r\nAnchorwise-Token: " + plan.token.encode() + b"\r\nContent-Length: " +
            str(len(body)).encode() + b"\r\nConnection: close\r\n\r\n" + body)


def damaged(dice, data):
    data = bytearray(data)
    for _ in range(dice.randint(1, 8)):
        at = dice.randrange(len(data)) if data else 0
        what = dice.randrange(5)
        if what == 0 and data:
            data[at] = dice.randrange(256)
        elif what == 1:
            data[at:at] = bytes(dice.randrange(256) for _ in range(dice.randint(1, 20)))
        elif what == 2:
            del data[at:at + dice.randint(1, 20)]
        elif what == 3:
            data[at:at] = data[at:at + 40] * dice.randint(1, 30)
        else:
            data = data[:at]
    return bytes(data)


VALUES = [None, True, -1, 0, 1e308, 10 ** 30, "", "A1", "\u202e", [], [[]], {}, {"a": {}},
          ["anchors"], ["anchors", "A1", "at"], [1, 2, 3], [1e300, -1e300, 0], "x" * 3000,
          ["zones", 0, "need"], {"name": "A9", "at": [1, 2, 3]}, [["a"] * 50] * 3,
          {"count": 10 ** 9, "by": [1, 1, 1]}, {"count": 3, "by": [0.1, 0, 0]}]


def odd_body(dice):
    """JSON of the right words in wrong places."""
    def op():
        return {key: dice.choice(VALUES + ["set", "add", "remove", "rename", "copy"])
                for key in dice.sample(["op", "at", "value", "at", "x"], dice.randint(0, 4))}
    body = {"do": [op() for _ in range(dice.randint(0, 5))], "hold": dice.random() < 0.9}
    for key in ("do", "step", "tag", "take", "at", "what", "rev", "as", "force"):
        if dice.random() < 0.2:
            body[key] = dice.choice(VALUES)
    body.pop("as", None)
    return json.dumps(body).encode()


def fuzzed():
    """Malformed requests, thousands of them: the page still answers, and no file is touched."""
    count = int(os.environ.get("AW_PLAN_REQUESTS", "1500"))
    dice = random.Random(22)
    paths = [b"/edit", b"/go", b"/spot", b"/recover", b"/hand-out", b"/run", b"/nowhere", b"/scene"]
    with Plan() as plan:
        for i in range(count):
            if i % 2:
                data = damaged(dice, good(plan, path=dice.choice(paths)))
            else:
                data = good(plan, odd_body(dice), dice.choice(paths[:-1]))
            reply = raw(plan, data)
            assert reply == b"" or reply.startswith(b"HTTP/1."), reply[:80]
            assert plan.process.poll() is None
        assert plan.ask("GET", "/scene").status == 200
    assert read_hall() == TEXT


def too_much():
    """What is too long, too deep or too many is refused and costs no memory."""
    with Plan() as plan:
        assert raw(plan, good(plan, b"[" * 60000)).startswith(b"HTTP/1.1 400")
        assert raw(plan, good(plan, b'{"do":' + b"[" * 60000)).startswith(b"HTTP/1.1 400")
        refused = raw(plan, good(plan, b" " * 70000))  # lost where the rest is not read
        assert refused == b"" or refused.startswith(b"HTTP/1.1 413"), refused
        many = json.dumps({"do": [move("A1", 1, 1, 1)] * 500}).encode()
        assert b"too many" in raw(plan, good(plan, many))
        endless = (b"POST /edit HTTP/1.1\r\nHost: " + plan.host.encode() +
                   b"\r\nAnchorwise-Token: " + plan.token.encode() +
                   b"\r\nTransfer-Encoding: chunked\r\n\r\n" + b"1000\r\n" + b"x" * 4096 + b"\r\n" +
                   (b"4000\r\n" + b"x" * 16384 + b"\r\n") * 64)
        raw(plan, endless)
        raw(plan, b"GET / HTTP/1.1\r\n" + b"A: b\r\n" * 20000)
        raw(plan, b"G" * 200000)
        assert plan.ask("GET", "/scene").status == 200
        huge = {"op": "set", "at": ["floor", "outline"],
                "value": [[0, 0], [90000, 0], [90000, 90000], [0, 90000]]}
        assert plan.edit(huge)[0][0] == 3
        assert used(plan) < 400 << 20


def used(plan):
    with open(f"/proc/{plan.process.pid}/statm", encoding="ascii") as file:
        return int(file.read().split()[1]) * resource.getpagesize()


def slow():
    """Two hundred connections that send a byte now and then, or read none: others are served."""
    with Plan() as plan:
        def edits():
            began = time.monotonic()
            for _ in range(20):
                assert plan.edit(move("A1", 3, 2, 5), hold=True)[-1][0] == 4
            return time.monotonic() - began

        head = good(plan)
        alone = edits()
        idle = [socket.create_connection(("127.0.0.1", plan.port)) for _ in range(200)]
        for i, connection in enumerate(idle):
            connection.sendall(head[:i % len(head)] if i % 4 else head[:-1])
        lazy = [socket.create_connection(("127.0.0.1", plan.port)) for _ in range(20)]
        for connection in lazy:  # they ask and never read
            connection.sendall(head)
        beside = edits()
        assert beside < 5 * alone + 5, (alone, beside)
        for connection in idle + lazy:
            connection.close()
        assert plan.edit(move("A1", 3, 2, 5))[-1][0] == 4


def flat():
    """Random edits, goes and saves: memory stays what it was."""
    dice = random.Random(7)
    with Plan() as plan:
        sizes = []
        for i in range(int(os.environ.get("AW_PLAN_EDITS", "400"))):
            at = (dice.uniform(0.1, 19.9), dice.uniform(0.1, 9.9), 5)
            hold = dice.random() < 0.7
            found = plan.edit(move(f"A{dice.randint(1, 5)}", *at), hold=hold)
            assert found[-1][0] == 4
            if dice.random() < 0.1:
                plan.stream("/go", {"step": dice.randint(0, plan.scene()["steps"])})
            if dice.random() < 0.05:
                assert plan.save()[0] == 200
            if i % 20 == 0:
                sizes.append(used(plan))
        half = len(sizes) // 2
        with open(f"/proc/{plan.process.pid}/maps", encoding="utf-8") as file:
            keeps = "asan" in file.read()  # what is freed is not used again
        assert keeps or max(sizes[half:]) < max(sizes[:half]) * 1.2 + (4 << 20), sizes


write_hall()
globals()[sys.argv[1]]()
