// What the page knows, and who is told when it changes. Data flows one way: program and hands write here,
// readers paint from here, at most once a frame.

export const state = {
    scene: null, // as the program told it last
    held: new Map(), // anchor's name → place while a hand moves it, or until the step's scene is here
    answer: null, // zones, price, headline, stage of the newest edit
    field: null, // Float32Array of p95, rows from low y
    draws: 0, // draws behind the field; 0 is the linear estimate
    stands: false,
    openedPrice: null,
    selected: null, // name of an anchor
    ringed: null, // item of a mistake, as "anchors.C2"
    instrument: 'hand',
    spot: null, // the answer of "why here"
    cross: null, // cross-hair [x, y]
    legs: null, // dividers [[x, y], [x, y]]
    ghost: null, // what is being drawn: {points, closed, words, dots}
    ruler: null, // snapping: {from, to, words}
    east: false, // the section looks east
    picture: null, // {image, file, size, points, scaled, corners()}
    gone: false,
};

const readers = [];
const news = new Set();
let frame = 0;
let cause = 0;
let painted = null;

export function watch(topics, read) {
    readers.push({topics, read});
}

function paint() {
    frame = 0;
    const topics = new Set(news);
    news.clear();
    for (const reader of readers) {
        if (reader.topics.some((topic) => topics.has(topic))) reader.read(topics);
    }
    if (cause && topics.has('field') && painted) {
        painted(cause);
        cause = 0;
    }
}

// Topics: scene, answer, field, view, hands, file.
export function tell(...topics) {
    for (const topic of topics) news.add(topic);
    if (!frame) frame = requestAnimationFrame(paint);
}

// The pointer event that the next painted field answers.
export function causedBy(time) {
    cause = time;
}

export function whenPainted(act) {
    painted = act;
}

export const anchorNamed = (name) => state.scene?.anchors?.find((anchor) => anchor.name === name) ?? null;
export const placeOf = (anchor) => state.held.get(anchor.name) ?? anchor.at;
export const hasFloor = () => (state.scene?.outline?.length ?? 0) > 2;
export const readOnly = () => Boolean(state.scene?.file?.read_only) || state.gone;
