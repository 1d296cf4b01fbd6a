"""A page of another origin, opened in the same browser, can neither read nor change anything, with or without the
token; and an address whose token is wrong shows that it is closed."""

import http.server
import threading
import urllib.parse

from page import Desk, Page, check, ended, skip_unless_browser, until

skip_unless_browser("elsewhere")


class Stranger(http.server.BaseHTTPRequestHandler):
    def do_GET(self):
        body = b"<!DOCTYPE html><title>elsewhere</title><p>another page</p>"
        self.send_response(200)
        self.send_header("Content-Type", "text/html")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_):
        pass


TRY = """
const [address, token, done] = [arguments[0], arguments[1], arguments[2]];
const edit = JSON.stringify({rev: 0, hold: false, do: [{op: 'remove', at: ['anchors', 'S1']}]});
const attempt = (path, options) => fetch(address + path, options).then((r) => r.text().then((t) => r.type === 'opaque' ? 'opaque' : t), (e) => 'refused');
(async () => ({
    read: await attempt('/scene'),
    readWithToken: await attempt('/scene', {headers: {'Anchorwise-Token': token}}),
    shell: await attempt('/'),
    change: await attempt('/edit', {method: 'POST', body: edit}),
    blind: await attempt('/edit', {method: 'POST', mode: 'no-cors', body: edit, headers: {'Content-Type': 'text/plain'}}),
    changeWithToken: await attempt('/edit', {method: 'POST', body: edit, headers: {'Anchorwise-Token': token}}),
    module: await import(address + '/main.js').then(() => 'ran', () => 'refused'),
}))().then(done);
"""

server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Stranger)
threading.Thread(target=server.serve_forever, daemon=True).start()

with Desk("tram-hall.yaml") as desk, Page(desk.address) as page:
    page.stands()
    before = page.ask("JSON.stringify(state.scene.anchors)")
    place = urllib.parse.urlsplit(desk.address)
    with Page(f"http://127.0.0.1:{server.server_port}/") as stranger:
        got = stranger.browser.execute_async_script(TRY, f"http://{place.netloc}", place.fragment)
        for what in ("read", "readWithToken", "shell", "change", "changeWithToken", "module"):
            check(f"another origin is refused: {what}", got[what] == "refused", got[what])
        check("what it sends blindly tells it nothing", got["blind"] in ("opaque", "refused"), got["blind"])
        stranger.run("const f = document.createElement('iframe'); f.src = arguments[0]; document.body.append(f)", desk.address)
        until(lambda: False, 1)
        stranger.browser.switch_to.frame(0)
        check("it cannot be framed", not stranger.all("#chart"))
    page.browser.refresh()
    page.stands()
    check("nothing was changed", page.ask("JSON.stringify(state.scene.anchors)") == before and page.steps() == 0)
    check("the token does not stay in the address", "#" not in page.browser.current_url, page.browser.current_url)
    with Page(desk.address.split("#")[0] + "#0123456789abcdef0123456789abcdef") as closed:
        check("a wrong token shows a closed sheet", until(lambda: closed.text("#title") == "This sheet is closed"), closed.text("#title"))
server.shutdown()
ended()
