"""A planning page under test: the program on a copy of a scenario, Chromium before it, hands and keys."""

import json
import os
import shutil
import signal
import struct
import subprocess
import sys
import tempfile
import time
import zlib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = os.environ.get("PROGRAM", str(ROOT / os.environ.get("BUILD", "build") / "anchorwise"))
SECONDS = 30  # for what a busy machine may take

try:
    from selenium import webdriver
    from selenium.webdriver.chrome.service import Service
    from selenium.webdriver.common.action_chains import ActionChains
    from selenium.webdriver.common.actions.action_builder import ActionBuilder
    from selenium.webdriver.common.actions.pointer_input import PointerInput
    from selenium.webdriver.common.by import By
    from selenium.webdriver.common.keys import Keys
except ImportError:
    webdriver = None


def why_not():
    """What is missing for a test in a browser, or None."""
    if webdriver is None:
        return "no Selenium"
    for name in ("chromium", "chromedriver"):
        if not shutil.which(name):
            return f"no {name}"
    return None


failed = 0


def check(name, holds, *facts):
    global failed
    print(("ok - " if holds else "not ok - ") + name, flush=True)
    if not holds:
        failed += 1
        print("   ", *facts, file=sys.stderr, flush=True)


def quiet(name, page):
    """Nothing was written into the page's console."""
    said = page.complaints()
    check(name, not said, said)


def ended():
    sys.exit(1 if failed else 0)


def skip_unless_browser(name):
    missing = why_not()
    if missing:
        print(f"skip - {name} ({missing})")
        sys.exit(0)


def until(holds, seconds=SECONDS):
    """Waits until holds() is true and returns what it gave; the last value after the time is up."""
    end = time.monotonic() + seconds
    while True:
        value = holds()
        if value or time.monotonic() > end:
            return value
        time.sleep(0.05)


def picture_of_hall(path, wide, high, edge):
    """A plan as a PNG: the walls of a hall, `edge` pixels inside the picture, black on white."""
    rows = b"".join(b"\0" + bytes(0 if x in (edge, wide - edge) and edge <= y <= high - edge or y in (edge, high - edge) and edge <= x <= wide - edge else 255
                                  for x in range(wide)) for y in range(high))

    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    path.write_bytes(b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", wide, high, 8, 0, 0, 0, 0))
                     + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b""))


class Desk:
    """The program, serving a copy of a scenario (or a file that does not exist yet) from a folder of its own."""

    def __init__(self, scenario=None, text=None, name="hall.yaml", folder=None, options=()):
        self.folder = Path(folder or tempfile.mkdtemp(prefix="plan-"))
        self.own = folder is None
        self.file = self.folder / name
        if scenario:
            shutil.copy(ROOT / "scenarios" / scenario, self.file)
        elif text is not None:
            self.file.write_text(text)
        self.options = list(options)
        self.start()

    def start(self):
        home = self.folder / "state"
        home.mkdir(exist_ok=True)
        self.complaints = open(self.folder / "stderr", "a")
        self.process = subprocess.Popen([PROGRAM, "plan", str(self.file), *self.options], stdout=subprocess.PIPE,
                                        stderr=self.complaints, text=True, env={**os.environ, "XDG_STATE_HOME": str(home)})
        self.address = self.process.stdout.readline().split()[-1]

    def pause(self):
        """The program answers no more until resume(): a state that would pass stays."""
        self.process.send_signal(signal.SIGSTOP)

    def resume(self):
        self.process.send_signal(signal.SIGCONT)

    def kill(self):
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()

    def close(self):
        if self.process.poll() is None:
            self.process.terminate()
            try:
                self.process.wait(10)
            except subprocess.TimeoutExpired:
                self.kill()
        self.process.stdout.close()
        self.complaints.close()
        if self.own:
            shutil.rmtree(self.folder, ignore_errors=True)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.close()


# Evaluates over the page's modules; a module is loaded once, so this is the page's own state.
ASK = """
const done = arguments[arguments.length - 1];
import('./state.js').then(({state}) => import('./view.js').then((view) =>
    import('./wire.js').then((wire) => (async () => (%s))())).then(done, (e) => done({failed: String(e)})));
"""

class Page:
    """A window on a desk's address."""

    def __init__(self, address, width=1440, height=900, dark=False, touch=False):
        options = webdriver.ChromeOptions()
        options.binary_location = shutil.which("chromium")
        for word in ("--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", f"--window-size={width},{height}"):
            options.add_argument(word)
        options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
        self.browser = webdriver.Chrome(options=options, service=Service(shutil.which("chromedriver")))
        self.browser.set_script_timeout(SECONDS)
        self.command = self.browser.execute_cdp_cmd
        self.command("Emulation.setDeviceMetricsOverride", dict(width=width, height=height, deviceScaleFactor=1, mobile=False))
        if dark:
            self.command("Emulation.setEmulatedMedia", dict(features=[dict(name="prefers-color-scheme", value="dark")]))
        if touch:
            self.command("Emulation.setTouchEmulationEnabled", dict(enabled=True, maxTouchPoints=2))
        self.browser.get(address)

    def ask(self, expression):
        """Evaluates an expression over `state`, `view` (module) and `wire` (module) of the page."""
        value = self.browser.execute_async_script(ASK % expression)
        if isinstance(value, dict) and "failed" in value:
            raise RuntimeError(value["failed"])
        return value

    def run(self, script, *values):
        return self.browser.execute_script(script, *values)

    def text(self, selector):
        """What is read there, in one look: the page may put another element in its place at any time."""
        return self.run("const node = document.querySelector(arguments[0]); return node?.checkVisibility() ? (node.innerText ?? node.textContent).trim() : ''", selector)

    def find(self, selector):
        return self.browser.find_element(By.CSS_SELECTOR, selector)

    def all(self, selector):
        return self.browser.find_elements(By.CSS_SELECTOR, selector)

    def click(self, selector):
        self.find(selector).click()

    def fill(self, selector, words):
        """Types over what a field holds, and Enter."""
        field = self.find(selector)
        field.click()
        field.send_keys(Keys.CONTROL, "a")
        field.send_keys(words, Keys.ENTER)

    def press(self, label):
        """Clicks the button with these words."""
        for button in self.all("button"):
            if button.text.strip() == label and button.is_displayed():
                button.click()
                return
        raise RuntimeError(f"no button says {label}")

    def listen(self, selector):
        """Keeps every text that the element has from now on; heard() gives them."""
        self.run("window.heard = []; const node = document.querySelector(arguments[0]);"
                 "new MutationObserver(() => window.heard.push(node.textContent)).observe(node, {childList: true, characterData: true, subtree: true})", selector)

    def heard(self):
        return self.run("return window.heard")

    def stands(self):
        return until(lambda: self.ask("state.stands"))

    def steps(self):
        return self.ask("state.scene.steps")

    def wait_steps(self, number):
        return until(lambda: self.steps() == number and self.ask("state.held.size") == 0)

    def at(self, name):
        return self.ask(f"state.scene.anchors.find((one) => one.name === {json.dumps(name)})?.at ?? null")

    def screen(self, x, y):
        """A spot of the floor in pixels of the window."""
        left, top, px, py = self.ask("(() => { const r = document.getElementById('overlay').getBoundingClientRect();"
                                     f"return [r.left, r.top, view.X({x}), view.Y({y})]; }})()")
        return left + px, top + py

    def mouse(self, kind, x, y, **more):
        self.command("Input.dispatchMouseEvent", dict(type=kind, x=x, y=y, button="left", buttons=1, clickCount=1, **more))

    def drag(self, start, end, moves=8, modifiers=0, rest=0.02, release=True):
        (x0, y0), (x1, y1) = start, end
        self.mouse("mousePressed", x0, y0, modifiers=modifiers)
        for i in range(1, moves + 1):
            self.mouse("mouseMoved", x0 + (x1 - x0) * i / moves, y0 + (y1 - y0) * i / moves, modifiers=modifiers)
            time.sleep(rest)
        if release:
            self.mouse("mouseReleased", x1, y1, modifiers=modifiers)

    def tap(self, x, y):
        self.mouse("mousePressed", x, y)
        self.mouse("mouseReleased", x, y)

    def touch(self, kind, *points):
        self.command("Input.dispatchTouchEvent", dict(type=kind, touchPoints=[dict(x=x, y=y, id=i) for i, (x, y) in enumerate(points)]))

    def drag_anchor(self, name, to, **how):
        x, y, _ = self.at(name)
        self.drag(self.screen(x, y), self.screen(*to), **how)

    def keys(self, *keys, shift=False, ctrl=False):
        chain = ActionChains(self.browser)
        held = [key for key, on in ((Keys.SHIFT, shift), (Keys.CONTROL, ctrl)) if on]
        for key in held:
            chain.key_down(key)
        for key in keys:
            chain.send_keys(key)
        for key in held:
            chain.key_up(key)
        chain.perform()

    def focus_chart(self, name=None):
        self.run("(document.querySelector(`#anchors [data-name=\"${arguments[0]}\"]`) ?? document.getElementById('overlay')).focus()", name or "")

    def complaints(self):
        """What the console holds against the page."""
        return [entry["message"] for entry in self.browser.get_log("browser") if entry["level"] in ("SEVERE", "WARNING")]

    def save_screen(self, path):
        self.browser.save_screenshot(str(path))

    def close(self):
        self.browser.quit()

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.close()
