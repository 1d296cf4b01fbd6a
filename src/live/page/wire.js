// What page and program say to each other: JSON questions, and edits whose answer is a stream of frames that
// sharpens until it stands or is overtaken.

const HEAD = 12;
const TOKEN = 'anchorwise-token';

if (location.hash.length > 1) {
    sessionStorage.setItem(TOKEN, location.hash.slice(1));
    history.replaceState(null, '', location.pathname + location.search);
}

const token = () => sessionStorage.getItem(TOKEN) ?? '';

export class Gone extends Error {}

async function request(method, path, body, type = 'application/json', stop = undefined) {
    const headers = {'Anchorwise-Token': token()};
    if (body !== undefined) headers['Content-Type'] = type;
    try {
        return await fetch(path, {method, headers, body, cache: 'no-store', signal: stop});
    } catch (trouble) {
        if (trouble.name === 'AbortError') throw trouble;
        throw new Gone(trouble.message);
    }
}

export async function ask(method, path, question, stop = undefined) {
    const reply = await request(method, path, question === undefined ? undefined : JSON.stringify(question), 'application/json', stop);
    let value = {};
    try {
        value = await reply.json();
    } catch (trouble) {
        value = {error: reply.status === 403 ? 'this address is not, or no longer, allowed in' : `status ${reply.status}`};
    }
    return {status: reply.status, ok: reply.ok, value};
}

export async function bytes(method, path, body, type) {
    const reply = await request(method, path, body, type);
    return {status: reply.status, ok: reply.ok, size: reply.headers.get('Anchorwise-Size'), blob: await reply.blob()};
}

// Cuts a stream into frames: u32 bytes that follow, u32 rev, u16 kind, u16 flags, u32 draws, body.
export class Cutter {
    constructor() {
        this.rest = new Uint8Array(0);
    }

    *push(chunk) {
        let data = chunk;
        if (this.rest.length) {
            data = new Uint8Array(this.rest.length + chunk.length);
            data.set(this.rest);
            data.set(chunk, this.rest.length);
        }
        let at = 0;
        while (data.length - at >= 4) {
            const view = new DataView(data.buffer, data.byteOffset + at);
            const size = view.getUint32(0, true);
            if (size < HEAD) throw new Error('a frame without a head');
            if (data.length - at - 4 < size) break;
            const body = data.slice(at + 4 + HEAD, at + 4 + size);
            yield {
                rev: view.getUint32(4, true),
                kind: view.getUint16(8, true),
                estimate: (view.getUint16(10, true) & 1) === 1,
                draws: view.getUint32(12, true),
                body,
            };
            at += 4 + size;
        }
        this.rest = data.slice(at);
    }
}

export const KIND = {json: 1, grid: 2, error: 3, stands: 4};

const readJson = (frame) => JSON.parse(new TextDecoder().decode(frame.body));

// The body of a frame as what its kind says.
export function contents(frame) {
    if (frame.kind === KIND.grid) return new Float32Array(frame.body.buffer, 0, frame.body.length >> 2);
    if (frame.kind === KIND.json || frame.kind === KIND.error) return readJson(frame);
    return null;
}

// Asks and hands each frame to `take` as it comes. Refusals before the stream come as an error frame too.
export async function stream(path, question, take) {
    const reply = await request('POST', path, JSON.stringify(question));
    if (!reply.ok) {
        let value = {error: `status ${reply.status}`};
        try {
            value = await reply.json();
        } catch (trouble) {
            value.error = `${value.error}: ${trouble.message}`;
        }
        take({kind: KIND.error, rev: 0, draws: 0, estimate: false}, value);
        return;
    }
    const cutter = new Cutter();
    const reader = reply.body.getReader();
    try {
        for (;;) {
            const {done, value} = await reader.read();
            if (done) return;
            for (const frame of cutter.push(value)) take(frame, contents(frame));
        }
    } catch (trouble) {
        if (trouble instanceof TypeError) throw new Gone(trouble.message);
        throw trouble;
    }
}
