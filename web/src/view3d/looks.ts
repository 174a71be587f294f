/** Colours and materials of the 3D views: the same four colours as on paper, light tints with inked edges. */
import { Color, DoubleSide, LineBasicMaterial, MeshLambertMaterial } from 'three';

export const COLOURS = {
  paper: '#ffffff',
  ink: '#17202a',
  sheetLight: '#dfeaf4',
  sheet: '#1d5c94',
  chosenLight: '#f4c98e',
  chosen: '#b35c00',
  stop: '#7a1f5c',
} as const;

export function surface(colour: string | Color): MeshLambertMaterial {
  return new MeshLambertMaterial({ color: new Color(colour), flatShading: true, side: DoubleSide, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 });
}

export function line(colour: string | Color): LineBasicMaterial {
  return new LineBasicMaterial({ color: new Color(colour) });
}
