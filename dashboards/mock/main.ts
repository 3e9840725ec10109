import '@fontsource-variable/atkinson-hyperlegible-next/index.css';
import '../src/styles/page.css';
import { startPage } from '../src/page';
import { mockFeed } from './feed';

// mock.html?at=900&speed=5&lost=3 : where the main run stands, how fast it plays, when the line is lost; tripped: the driven tester's heater was cut.
const asked = new URLSearchParams(location.search);
const number = (name: string): number | null => (asked.has(name) ? Number(asked.get(name)) : null);
const root = document.getElementById('page');
if (root !== null) startPage(root, mockFeed({ at: number('at') ?? 0, speed: number('speed') ?? 1, lostAfter: number('lost'), tripped: asked.has('tripped') }));
