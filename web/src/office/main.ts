import '../theme/theme.css';
import { mount } from 'svelte';
import { tellDocument } from '../settings.svelte';
import de from '../words/office/de.json';
import en from '../words/office/en.json';
import { addWords } from '../words/words';
import Office from './Office.svelte';

addWords({ en, de });
tellDocument();
const target = document.getElementById('page');
if (target) mount(Office, { target });
