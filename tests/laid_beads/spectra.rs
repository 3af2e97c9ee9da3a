//! Published spectra (`fixtures/published/spectra.csv`, sources in its head) as colours and as what a camera sees.

use smallcast::colour::Lab;

/// The lights of the drawn photographs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lamp {
    /// CIE standard illuminant A: a filament lamp.
    A,
    /// CIE illuminant D50: daylight towards evening.
    D50,
    /// CIE standard illuminant D65: daylight.
    D65,
    /// CIE illuminant LED-B3: a lamp of light-emitting diodes, 4103 K.
    Led,
}

impl Lamp {
    fn column(self) -> &'static str {
        match self {
            Self::A => "A",
            Self::D50 => "D50",
            Self::D65 => "D65",
            Self::Led => "LED-B3",
        }
    }

    /// From the camera's channels, white made 1, to linear sRGB: least squares over the 24 reflectances in this light,
    /// white kept. A camera has such a matrix for each light it knows.
    fn matrix(self) -> [[f64; 3]; 3] {
        match self {
            Self::A => [[1.4546, -0.2763, -0.1783], [-0.2694, 1.4976, -0.2282], [0.14, -0.792, 1.652]],
            Self::D50 => [[1.6431, -0.5367, -0.1064], [-0.1776, 1.5912, -0.4136], [0.0793, -0.6051, 1.5258]],
            Self::D65 => [[1.7393, -0.6502, -0.0891], [-0.1545, 1.6405, -0.486], [0.059, -0.5461, 1.4871]],
            Self::Led => [[1.7238, -0.6563, -0.0675], [-0.2377, 1.5035, -0.2658], [0.0687, -0.5145, 1.4458]],
        }
    }
}

/// The published table.
pub struct Spectra {
    names: Vec<String>,
    rows: Vec<Vec<f64>>,
}

impl Spectra {
    pub fn read() -> Self {
        let text = include_str!("../../fixtures/published/spectra.csv");
        let mut lines = text.lines().filter(|line| !line.starts_with('#'));
        let names = lines.next().expect("a header").split(',').map(String::from).collect();
        let number = |cell: &str| cell.parse().expect("a number");
        let rows = lines.map(|line| line.split(',').map(number).collect()).collect();
        Self { names, rows }
    }

    fn column(&self, name: &str) -> Vec<f64> {
        let at = self.names.iter().position(|n| n == name).expect("a column of the table");
        self.rows.iter().map(|row| row[at]).collect()
    }

    /// How many reflectances there are.
    pub fn patches(&self) -> usize {
        self.names.iter().filter(|name| name.starts_with('p')).count()
    }

    fn patch(&self, number: usize) -> Vec<f64> {
        self.column(&format!("p{number}"))
    }

    fn summed(&self, light: &str, reflectance: &[f64], by: [&str; 3]) -> [f64; 3] {
        let power = self.column(light);
        by.map(|name| {
            let weights = self.column(name);
            (0..power.len()).map(|i| power[i] * reflectance[i] * weights[i]).sum()
        })
    }

    /// X, Y, Z with Y = 1 for a perfect white (CIE 015:2018, section 7).
    pub fn xyz(&self, light: &str, reflectance: &[f64]) -> [f64; 3] {
        let ones = vec![1.0; reflectance.len()];
        let full = self.summed(light, &ones, ["x", "y", "z"])[1];
        self.summed(light, reflectance, ["x", "y", "z"]).map(|v| v / full)
    }

    /// X, Y, Z of a light.
    pub fn white(&self, light: &str) -> [f64; 3] {
        self.xyz(light, &vec![1.0; self.rows.len()])
    }

    /// The Lab under D65 of a patch, counted from 1.
    pub fn lab(&self, number: usize) -> Lab {
        lab_of(self.xyz("D65", &self.patch(number)), self.white("D65"))
    }

    /// What the camera makes of a patch, counted from 1 (0: a perfect white), in linear sRGB, where it leaves such a
    /// part of the lamp's own tint in the picture.
    pub fn seen(&self, lamp: Lamp, number: usize, left: f64) -> [f64; 3] {
        let channels = ["red", "green", "blue"];
        let ones = vec![1.0; self.rows.len()];
        let white = self.summed(lamp.column(), &ones, channels);
        let daylight = self.summed("D65", &ones, channels);
        let reflectance = if number == 0 { ones } else { self.patch(number) };
        let raw = self.summed(lamp.column(), &reflectance, channels);
        let balanced: [f64; 3] = std::array::from_fn(|c| {
            let tint = (white[c] / white[1]) / (daylight[c] / daylight[1]);
            raw[c] / white[c] * tint.powf(left)
        });
        lamp.matrix().map(|row| (0..3).map(|c| row[c] * balanced[c]).sum::<f64>().max(0.0))
    }
}

/// CIE 015:2018, section 8.2.1, written here anew.
fn lab_of(xyz: [f64; 3], white: [f64; 3]) -> Lab {
    let f = |t: f64| {
        if t > (6.0_f64 / 29.0).powi(3) { t.cbrt() } else { t * (29.0_f64 / 6.0).powi(2) / 3.0 + 4.0 / 29.0 }
    };
    let [x, y, z] = [0, 1, 2].map(|i| f(xyz[i] / white[i]));
    Lab::new(116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z))
}

/// B. Lindbloom, "Chromatic Adaptation": the matrix of von Kries from D50 to D65 (values from memory).
#[test]
fn a_tint_is_taken_out_as_von_kries_has_it() {
    const D50_TO_D65: [[f64; 3]; 3] =
        [[0.9845002, -0.0546158, 0.0676324], [-0.0059992, 1.0047864, 0.0012095], [0.0, 0.0, 1.3194581]];
    const D50: [f64; 3] = [0.96422, 1.0, 0.82521];
    const D65: [f64; 3] = [0.95047, 1.0, 1.08883];
    for xyz in [[0.4, 0.3, 0.1], [0.2, 0.3, 0.4], D50, [0.1, 0.1, 0.02]] {
        let adapted = D50_TO_D65.map(|row| (0..3).map(|i| row[i] * xyz[i]).sum::<f64>());
        let (is, right) = (lab_of(xyz, D65).untinted(lab_of(D50, D65)), lab_of(adapted, D65));
        assert!(is.distance_squared(right).sqrt() < 0.01, "{is} {right}");
    }
}

/// White points of CIE 015:2018 (table 3: chromaticities of A, D50, D65), by ten nanometres and cut at the ends as here:
/// within 0.001.
#[test]
fn the_lights_have_their_published_chromaticities() {
    let spectra = Spectra::read();
    for (light, x, y) in [("A", 0.44758, 0.40745), ("D50", 0.34567, 0.35851), ("D65", 0.31272, 0.32903)] {
        let [big_x, big_y, big_z] = spectra.white(light);
        let sum = big_x + big_y + big_z;
        assert!((big_x / sum - x).abs() < 1e-3 && (big_y / sum - y).abs() < 1e-3, "{light}");
    }
}

/// The neutral patches are named by their Munsell values: 8, 6.5, 5 and 3.5 have L* 81.3, 66.7, 51.6 and 36.0 (ASTM
/// D1535, from memory), within one and a half.
#[test]
fn the_neutral_patches_have_the_lightness_they_are_named_by() {
    let spectra = Spectra::read();
    for (patch, lightness) in [(20, 81.3), (21, 66.7), (22, 51.6), (23, 36.0)] {
        let lab = spectra.lab(patch);
        assert!((lab.l - lightness).abs() < 1.5 && lab.chroma() < 1.0, "patch {patch}: {lab}");
    }
}
