import '@fontsource-variable/atkinson-hyperlegible-next/index.css';
import './styles/page.css';
import { startPage } from './page';
import { serviceBackend } from './service/serviceBackend';

const root = document.getElementById('page');
if (root !== null) startPage(root, serviceBackend());
