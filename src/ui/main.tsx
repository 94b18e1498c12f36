import './firstWorker.ts';
import { createRoot } from 'react-dom/client';
import './styles/tokens.css';
import './styles/layout.css';
import './styles/controls.css';
import './styles/picture.css';
import './styles/overlay.css';
import './styles/panels.css';
import './styles/margin.css';
import { Opening } from './Opening.tsx';
import { PictureOnly } from './PictureOnly.tsx';

const root = document.getElementById('root');
if (!root) throw new Error('index.html has no element with id root');
const query = new URLSearchParams(window.location.search);
createRoot(root).render(query.get('picture') === 'only' ? <PictureOnly query={query} /> : <Opening />);
