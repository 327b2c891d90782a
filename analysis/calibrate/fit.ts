export { nominalCalibration } from './nominal.ts';
