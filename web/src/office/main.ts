import '../theme/theme.css';
import { mount } from 'svelte';
import { tellDocument } from '../settings.svelte';
import Office from './Office.svelte';

tellDocument();
const target = document.getElementById('page');
if (target) mount(Office, { target });
