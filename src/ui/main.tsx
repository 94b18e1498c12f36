import { createRoot } from 'react-dom/client';
import './styles/fonts.css';
import './styles/tokens.css';
import './styles/layout.css';
import './styles/controls.css';
import './styles/picture.css';
import './styles/margin.css';
import { Opening } from './Opening.tsx';

const root = document.getElementById('root');
if (!root) throw new Error('index.html has no element with id root');
createRoot(root).render(<Opening />);
