import '../theme/theme.css';
import { mount } from 'svelte';
import { tellDocument } from '../settings.svelte';
import Floor from './Floor.svelte';

tellDocument();
const target = document.getElementById('page');
if (target) mount(Floor, { target });
