"""Independent masks, distances, components and skeletons of small drawn pages; writes masks_opencv_skimage.json beside it.

Made with Python 3.11.2, NumPy 1.24.2, OpenCV 4.6.0 (with its contrib modules), scikit-image 0.19.3 and SciPy 1.10.1 (Debian 12):
    python3 tests/vectors/masks_opencv_skimage.py
Otsu's threshold by OpenCV and by scikit-image; distances by SciPy (exact; OpenCV's "precise" ones are off by more than a pixel);
components by scikit-image; Guo and Hall's thinning by OpenCV. Arrays are base64 of deflated bytes (masks 0 and 1,
squared distances 16 bits).
"""

import base64
import json
import platform
import zlib
from pathlib import Path

import cv2
import numpy as np
import scipy
import skimage
from scipy.ndimage import distance_transform_edt
from skimage.filters import threshold_otsu
from skimage.measure import label, regionprops

WIDTH, HEIGHT = 150, 96


def page(seed, contrast, noise, blur):
    """Loops, crossings, a dot and a stroke cut by the border, on uneven paper."""
    random = np.random.default_rng(seed)
    y, x = np.mgrid[0:HEIGHT, 0:WIDTH]
    ink = np.zeros((HEIGHT, WIDTH))
    t = np.linspace(0, 1, 400)
    turns = random.integers(3, 6)
    paths = [
        (12 + 118 * t + 9 * np.sin(2 * np.pi * turns * t), 34 + 17 * np.cos(2 * np.pi * turns * t), 2.2 + random.random()),
        (20 + 100 * t, 78 - 26 * t * t + 5 * np.sin(9 * t), 3.5 + 2 * random.random()),
        (70 + 40 * t, 90 - 60 * t, 1.4 + random.random()),
        (60 + 0 * t, 8 + 2 * t, 2.6 + 0 * t[0]),
        (WIDTH - 14 + 20 * t, 12 + 8 * t, 2.4 + 0 * t[0]),
    ]
    for px, py, half in paths:
        for cx, cy in zip(px, py):
            ink = np.maximum(ink, np.clip(half - np.hypot(x - cx, y - cy) + 0.5, 0, 1))
    paper = 225 - 6 * x / WIDTH
    grey = cv2.GaussianBlur(paper * (1 - contrast * ink), (0, 0), blur) + noise * random.standard_normal((HEIGHT, WIDTH))
    return np.clip(np.round(grey), 0, 255).astype(np.uint8)


def text(array):
    return base64.b64encode(zlib.compress(np.ascontiguousarray(array).tobytes(), 9)).decode()


def squared(distance):
    return text(np.round(distance**2).astype("<u2"))


def answers(image):
    opencv, _ = cv2.threshold(image, 0, 255, cv2.THRESH_BINARY + cv2.THRESH_OTSU)
    mask = image <= opencv
    labels = label(mask, connectivity=2)
    regions = sorted(regionprops(labels), key=lambda r: (r.coords[0][0], r.coords[0][1]))
    frame = mask.copy()
    frame[[0, -1], :] = False
    frame[:, [0, -1]] = False
    thinned = cv2.ximgproc.thinning(frame.astype(np.uint8) * 255, thinningType=cv2.ximgproc.THINNING_GUOHALL)
    return {
        "image": text(image),
        "otsuOpenCv": opencv,
        "otsuSkimage": float(threshold_otsu(image)),
        # scikit-image on floats of the same pixels, 512 bins, as the program has them
        "otsuSkimageFloat": float(threshold_otsu(image.astype(np.float32) / 255, nbins=512)),
        "mask": text(mask.astype(np.uint8)),
        "components": [
            {"area": int(r.area), "bbox": [int(v) for v in r.bbox], "centroid": [float(v) for v in r.centroid]} for r in regions
        ],
        "toOutside": squared(distance_transform_edt(mask)),
        "toInside": squared(distance_transform_edt(~mask)),
        "thinned": text((thinned > 0).astype(np.uint8)),
    }


result = {
    "made": {
        "python": platform.python_version(),
        "numpy": np.__version__,
        "opencv": cv2.__version__,
        "skimage": skimage.__version__,
        "scipy": scipy.__version__,
    },
    "widthPx": WIDTH,
    "heightPx": HEIGHT,
    "pages": [answers(page(*p)) for p in [(1, 0.8, 2.0, 0.8), (2, 0.35, 3.0, 1.0), (3, 0.6, 6.0, 0.6)]],
}
Path(__file__).with_suffix(".json").write_text(json.dumps(result, separators=(",", ":")) + "\n")
