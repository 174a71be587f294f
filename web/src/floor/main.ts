import '../theme/theme.css';
import { mount } from 'svelte';
import { tellDocument } from '../settings.svelte';
import de from '../words/floor/de.json';
import en from '../words/floor/en.json';
import { addWords } from '../words/words';
import Floor from './Floor.svelte';

addWords({ en, de });
tellDocument();
const target = document.getElementById('page');
if (target) mount(Floor, { target });
