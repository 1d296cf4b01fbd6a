// Edits on their way to the program. While a hand is down only the newest place counts; a step always goes.
// Never more than two are unanswered: a queue would be lag.

import {causedBy, hasFloor, state, tell} from './state.js';
import {Gone, KIND, ask, stream} from './wire.js';

const MOST_UNANSWERED = 2;

const steps = []; // questions that must go, in order
let holding = null; // the newest held question, if it has not gone yet, and the time of its event
let unanswered = 0;
let turn = 0; // counts what was sent
let heard = 0; // the newest that answered
let waiting = 0; // a frame of the page that must pass before another held question goes
const listeners = {refused: () => {}, gone: () => {}, stepped: () => {}};

export function onEdits(handlers) {
    Object.assign(listeners, handlers);
}

export function lost(trouble) {
    if (!(trouble instanceof Gone)) throw trouble;
    if (state.gone) return;
    state.gone = true;
    tell('file', 'hands');
    listeners.gone();
}

// A step's scene ends what was held for it; what a hand has taken up since goes on.
function takeScene(scene, settled = []) {
    state.scene = scene;
    for (const name of settled) state.held.delete(name);
    if (state.selected && !scene.anchors?.some((anchor) => anchor.name === state.selected)) state.selected = null;
    if (!hasFloor()) state.field = null;
    tell('scene', 'file', 'hands');
}

// A step's effect on zones is known when figures stand; until then the log has the step alone.
function tellEffect(words) {
    const step = state.scene.log?.find((one) => one.step === state.scene.steps);
    if (!step || step.words === words) return;
    step.words = words;
    tell('file');
}

function takeJson(value, draws, settled) {
    if (value.scene) takeScene(value.scene, settled);
    else if (state.scene) state.scene.rev = value.rev;
    state.answer = value;
    state.stands = value.stage === 'stands';
    state.draws = draws;
    if (value.price && state.openedPrice === null) state.openedPrice = value.price.total;
    if (!hasFloor()) tell('answer'); // else the field comes with the next frame, and both are painted at once
}

function takeFrame(mine, own, frameHead, value) {
    if (frameHead.kind === KIND.error) {
        listeners.refused(value, own);
        return;
    }
    if (mine < heard && !value?.scene) return; // overtaken
    heard = Math.max(heard, mine);
    if (frameHead.kind === KIND.json) {
        takeJson(value, frameHead.draws, own.settled);
        if (value.scene && own.do?.length) listeners.stepped();
        if (value.log && !own.hold) tellEffect(value.log);
    }
    if (frameHead.kind === KIND.grid) {
        state.field = value;
        state.draws = frameHead.draws;
        if (own.time) causedBy(own.time);
        own.time = 0;
        tell('field', 'answer');
    }
    if (frameHead.kind === KIND.stands) {
        state.stands = true;
        tell('answer');
    }
}

async function send(path, question, time = 0) {
    const mine = ++turn;
    const settled = question.hold ? [] : (question.do ?? []).filter(({at}) => at[0] === 'anchors').map(({at}) => at[1]);
    const own = {do: question.do, hold: question.hold, settled, time};
    let answered = false;
    const answer = () => {
        if (answered) return;
        answered = true;
        unanswered--;
        pump();
    };
    unanswered++;
    if (state.scene) question.rev = state.scene.rev;
    try {
        await stream(path, question, (head, value) => {
            takeFrame(mine, own, head, value);
            if (head.kind !== KIND.json || !hasFloor()) answer();
        });
    } catch (trouble) {
        lost(trouble);
    } finally {
        answer();
    }
}

function pump() {
    while (unanswered < MOST_UNANSWERED && (steps.length || holding)) {
        if (steps.length) {
            const {path, question} = steps.shift();
            send(path, question);
        } else {
            if (waiting) return;
            const {question, time} = holding;
            holding = null;
            waiting = requestAnimationFrame(() => {
                waiting = 0;
                pump();
            });
            send('/edit', question, time);
        }
    }
}

// Places while the hand is down; nothing is written down anywhere.
export function hold(operations, time = 0) {
    holding = {question: {hold: true, do: operations}, time};
    pump();
}

// One step of the log.
export function step(operations) {
    holding = null;
    steps.push({path: '/edit', question: {hold: false, do: operations}});
    pump();
}

// Esc: what was held goes back to where the last step left it.
export function release() {
    state.held.clear();
    hold([]);
    tell('hands');
}

export function chooseTag(tag) {
    steps.push({path: '/edit', question: {hold: false, tag, do: []}});
    pump();
}

export function go(number) {
    holding = null;
    state.held.clear();
    steps.push({path: '/go', question: {step: number}});
    pump();
}

export function recover(take) {
    steps.push({path: '/recover', question: {take}});
    pump();
}

// Asks for the figures of what is on the table.
export function refresh() {
    steps.push({path: '/edit', question: {hold: false, do: []}});
    pump();
}

export async function fetchScene() {
    const reply = await ask('GET', '/scene');
    if (!reply.ok) return reply.value;
    takeScene(reply.value);
    return null;
}

// A study: words of its progress go to `told`, what it finds is a step like any other. Gives the refusal, or null.
export async function study(question, told) {
    const mine = ++turn;
    let refusal = null;
    try {
        await stream('/run', question, (head, value) => {
            if (head.kind === KIND.error) refusal = value.error;
            else if (value?.progress) told(value.progress);
            else takeFrame(mine, {do: []}, head, value);
        });
    } catch (trouble) {
        lost(trouble);
    }
    return refusal;
}
