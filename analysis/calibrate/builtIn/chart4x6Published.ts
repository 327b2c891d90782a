/**
 * The 4 × 6 colour-rendition chart's published CIELAB values as CGATS.17 text: one table for charts made before November 2014 and
 * one for those made since, when its colours were renewed.
 * Sources: the chart's published tables of 2005 and 2016, D50, 2° observer. Copied whole; a test holds them to the table in tests/vectors.
 */
export const CHART_4X6_PUBLISHED = `CGATS.17
# Lab under D50 for the 2 degree observer as the maker of the chart published it, for charts made from November 2014 on.
# Averages of a production: a single chart differs from them by about 1 Delta E*ab.
DESCRIPTOR "4 x 6 colour-rendition chart, published Lab D50, charts made from November 2014 on"
ILLUMINANT "D50"
OBSERVER "2"
NUMBER_OF_FIELDS 5
BEGIN_DATA_FORMAT
SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B
END_DATA_FORMAT
NUMBER_OF_SETS 24
BEGIN_DATA
1 "dark skin" 37.54 14.37 14.92
2 "light skin" 64.66 19.27 17.50
3 "blue sky" 49.32 -3.82 -22.54
4 "foliage" 43.46 -12.74 22.72
5 "blue flower" 54.94 9.61 -24.79
6 "bluish green" 70.48 -32.26 -0.37
7 "orange" 62.73 35.83 56.50
8 "purplish blue" 39.43 10.75 -45.17
9 "moderate red" 50.57 48.64 16.67
10 "purple" 30.10 22.54 -20.87
11 "yellow green" 71.77 -24.13 58.19
12 "orange yellow" 71.51 18.24 67.37
13 "blue" 28.37 15.42 -49.80
14 "green" 54.38 -39.72 32.27
15 "red" 42.43 51.05 28.62
16 "yellow" 81.80 2.67 80.41
17 "magenta" 50.63 51.28 -14.12
18 "cyan" 49.57 -29.71 -28.32
19 "white 9.5 (.05 D)" 95.19 -1.03 2.93
20 "neutral 8 (.23 D)" 81.29 -0.57 0.44
21 "neutral 6.5 (.44 D)" 66.89 -0.75 -0.06
22 "neutral 5 (.70 D)" 50.76 -0.13 0.14
23 "neutral 3.5 (1.05 D)" 35.63 -0.46 -0.48
24 "black 2 (1.5 D)" 20.64 0.07 -0.46
END_DATA
`;

export const CHART_4X6_PUBLISHED_BEFORE_2014 = `CGATS.17
# Lab under D50 for the 2 degree observer as the maker of the chart published it, for charts made before November 2014.
# Averages of a production: a single chart differs from them by about 1 Delta E*ab.
DESCRIPTOR "4 x 6 colour-rendition chart, published Lab D50, charts made before November 2014"
ILLUMINANT "D50"
OBSERVER "2"
NUMBER_OF_FIELDS 5
BEGIN_DATA_FORMAT
SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B
END_DATA_FORMAT
NUMBER_OF_SETS 24
BEGIN_DATA
1 "dark skin" 37.99 13.55 14.06
2 "light skin" 65.71 18.13 17.81
3 "blue sky" 49.93 -4.88 -21.91
4 "foliage" 43.14 -13.10 21.91
5 "blue flower" 55.11 8.84 -25.40
6 "bluish green" 70.72 -33.40 -0.20
7 "orange" 62.66 36.07 57.10
8 "purplish blue" 40.02 10.41 -45.96
9 "moderate red" 51.12 48.24 16.25
10 "purple" 30.32 22.98 -21.59
11 "yellow green" 72.53 -23.71 57.26
12 "orange yellow" 71.94 19.36 67.86
13 "blue" 28.78 14.18 -50.30
14 "green" 55.26 -38.34 31.37
15 "red" 42.10 53.38 28.19
16 "yellow" 81.73 4.04 79.82
17 "magenta" 51.94 49.99 -14.57
18 "cyan" 51.04 -28.63 -28.64
19 "white 9.5 (.05 D)" 96.54 -0.42 1.19
20 "neutral 8 (.23 D)" 81.26 -0.64 -0.34
21 "neutral 6.5 (.44 D)" 66.77 -0.73 -0.50
22 "neutral 5 (.70 D)" 50.87 -0.15 -0.27
23 "neutral 3.5 (1.05 D)" 35.66 -0.42 -1.23
24 "black 2 (1.5 D)" 20.46 -0.08 -0.97
END_DATA
`;
