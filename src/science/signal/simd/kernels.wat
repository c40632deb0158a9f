;; Inner loops over signals, four values at a time. All pointers are in bytes; all counts are of values.
;; What they compute is told where they are called from, in kernels.ts.
(module
  (memory (export "memory") 8)

  ;; out[i] = a[i] b[i]; count a multiple of 4.
  (func (export "multiply") (param $a i32) (param $b i32) (param $out i32) (param $count i32)
    (local $end i32)
    (local.set $end (i32.add (local.get $a) (i32.shl (local.get $count) (i32.const 2))))
    (loop $next
      (v128.store (local.get $out) (f32x4.mul (v128.load (local.get $a)) (v128.load (local.get $b))))
      (local.set $a (i32.add (local.get $a) (i32.const 16)))
      (local.set $b (i32.add (local.get $b) (i32.const 16)))
      (local.set $out (i32.add (local.get $out) (i32.const 16)))
      (br_if $next (i32.lt_u (local.get $a) (local.get $end)))))

  (func $across (param $v v128) (result f32)
    (f32.add
      (f32.add (f32x4.extract_lane 0 (local.get $v)) (f32x4.extract_lane 1 (local.get $v)))
      (f32.add (f32x4.extract_lane 2 (local.get $v)) (f32x4.extract_lane 3 (local.get $v)))))

  ;; Sum of x[i]^2; count a multiple of 8.
  (func (export "sumOfSquares") (param $x i32) (param $count i32) (result f32)
    (local $end i32) (local $v v128) (local $w v128) (local $even v128) (local $odd v128)
    (local.set $end (i32.add (local.get $x) (i32.shl (local.get $count) (i32.const 2))))
    (loop $next
      (local.set $v (v128.load (local.get $x)))
      (local.set $w (v128.load offset=16 (local.get $x)))
      (local.set $even (f32x4.add (local.get $even) (f32x4.mul (local.get $v) (local.get $v))))
      (local.set $odd (f32x4.add (local.get $odd) (f32x4.mul (local.get $w) (local.get $w))))
      (local.set $x (i32.add (local.get $x) (i32.const 32)))
      (br_if $next (i32.lt_u (local.get $x) (local.get $end))))
    (call $across (f32x4.add (local.get $even) (local.get $odd))))

  ;; out[k] = re[k]^2 + im[k]^2 of pairs (re, im); count of pairs, a multiple of 4.
  (func (export "powers") (param $pairs i32) (param $out i32) (param $count i32)
    (local $end i32) (local $v v128) (local $w v128)
    (local.set $end (i32.add (local.get $out) (i32.shl (local.get $count) (i32.const 2))))
    (loop $next
      (local.set $v (v128.load (local.get $pairs)))
      (local.set $w (v128.load offset=16 (local.get $pairs)))
      (local.set $v (f32x4.mul (local.get $v) (local.get $v)))
      (local.set $w (f32x4.mul (local.get $w) (local.get $w)))
      (v128.store (local.get $out)
        (f32x4.add
          (i8x16.shuffle 0 1 2 3 8 9 10 11 16 17 18 19 24 25 26 27 (local.get $v) (local.get $w))
          (i8x16.shuffle 4 5 6 7 12 13 14 15 20 21 22 23 28 29 30 31 (local.get $v) (local.get $w))))
      (local.set $pairs (i32.add (local.get $pairs) (i32.const 32)))
      (local.set $out (i32.add (local.get $out) (i32.const 16)))
      (br_if $next (i32.lt_u (local.get $out) (local.get $end)))))

  ;; Sum of x[i] in [first, end).
  (func $sum (param $x i32) (param $end i32) (result f32)
    (local $v v128) (local $rest f32)
    (block $few
      (loop $next
        (br_if $few (i32.gt_u (i32.add (local.get $x) (i32.const 16)) (local.get $end)))
        (local.set $v (f32x4.add (local.get $v) (v128.load (local.get $x))))
        (local.set $x (i32.add (local.get $x) (i32.const 16)))
        (br $next)))
    (block $done
      (loop $next
        (br_if $done (i32.ge_u (local.get $x) (local.get $end)))
        (local.set $rest (f32.add (local.get $rest) (f32.load (local.get $x))))
        (local.set $x (i32.add (local.get $x) (i32.const 4)))
        (br $next)))
    (f32.add (local.get $rest) (call $across (local.get $v))))

  ;; out[b] = sum of x[i], i in [edges[b], edges[b + 1]); edges are 32-bit integers, one more than bands.
  (func (export "sumsBetween") (param $x i32) (param $edges i32) (param $bands i32) (param $out i32)
    (local $end i32)
    (local.set $end (i32.add (local.get $out) (i32.shl (local.get $bands) (i32.const 2))))
    (loop $next
      (f32.store (local.get $out)
        (call $sum
          (i32.add (local.get $x) (i32.shl (i32.load (local.get $edges)) (i32.const 2)))
          (i32.add (local.get $x) (i32.shl (i32.load offset=4 (local.get $edges)) (i32.const 2)))))
      (local.set $edges (i32.add (local.get $edges) (i32.const 4)))
      (local.set $out (i32.add (local.get $out) (i32.const 4)))
      (br_if $next (i32.lt_u (local.get $out) (local.get $end)))))

  ;; The largest |x[i]|; count a multiple of 8.
  (func (export "peak") (param $x i32) (param $count i32) (result f32)
    (local $end i32) (local $v v128) (local $w v128)
    (local.set $end (i32.add (local.get $x) (i32.shl (local.get $count) (i32.const 2))))
    (loop $next
      (local.set $v (f32x4.pmax (local.get $v) (f32x4.abs (v128.load (local.get $x)))))
      (local.set $w (f32x4.pmax (local.get $w) (f32x4.abs (v128.load offset=16 (local.get $x)))))
      (local.set $x (i32.add (local.get $x) (i32.const 32)))
      (br_if $next (i32.lt_u (local.get $x) (local.get $end))))
    (local.set $v (f32x4.pmax (local.get $v) (local.get $w)))
    (f32.max
      (f32.max (f32x4.extract_lane 0 (local.get $v)) (f32x4.extract_lane 1 (local.get $v)))
      (f32.max (f32x4.extract_lane 2 (local.get $v)) (f32x4.extract_lane 3 (local.get $v)))))

  ;; out[i] = x[i] scale, to the nearest 16-bit integer; count a multiple of 8.
  (func (export "toShorts") (param $x i32) (param $scale f32) (param $out i32) (param $count i32)
    (local $end i32) (local $scales v128)
    (local.set $scales (f32x4.splat (local.get $scale)))
    (local.set $end (i32.add (local.get $x) (i32.shl (local.get $count) (i32.const 2))))
    (loop $next
      (v128.store (local.get $out)
        (i16x8.narrow_i32x4_s
          (i32x4.trunc_sat_f32x4_s (f32x4.nearest (f32x4.mul (v128.load (local.get $x)) (local.get $scales))))
          (i32x4.trunc_sat_f32x4_s (f32x4.nearest (f32x4.mul (v128.load offset=16 (local.get $x)) (local.get $scales))))))
      (local.set $x (i32.add (local.get $x) (i32.const 32)))
      (local.set $out (i32.add (local.get $out) (i32.const 16)))
      (br_if $next (i32.lt_u (local.get $x) (local.get $end)))))

  ;; out[i] = x[i] scale, x of 16-bit integers; count a multiple of 8.
  (func (export "fromShorts") (param $x i32) (param $scale f32) (param $out i32) (param $count i32)
    (local $end i32) (local $scales v128) (local $v v128)
    (local.set $scales (f32x4.splat (local.get $scale)))
    (local.set $end (i32.add (local.get $x) (i32.shl (local.get $count) (i32.const 1))))
    (loop $next
      (local.set $v (v128.load (local.get $x)))
      (v128.store (local.get $out)
        (f32x4.mul (f32x4.convert_i32x4_s (i32x4.extend_low_i16x8_s (local.get $v))) (local.get $scales)))
      (v128.store offset=16 (local.get $out)
        (f32x4.mul (f32x4.convert_i32x4_s (i32x4.extend_high_i16x8_s (local.get $v))) (local.get $scales)))
      (local.set $x (i32.add (local.get $x) (i32.const 16)))
      (local.set $out (i32.add (local.get $out) (i32.const 32)))
      (br_if $next (i32.lt_u (local.get $x) (local.get $end)))))

  ;; For each k: c = conj(a[k]) b[k] turned by the rotor, g = |c|, s = weight soft[k] / (1 + g soft[k]);
  ;; re[k] += s Re c, im[k] += s Im c, counted[k] += s g. Pairs (re, im) in a and b; count a multiple of 4.
  ;; rotor: 4 cosines, 4 sines, of the first four; they are turned by (turnRe, turnIm) for the next four.
  (func (export "addCross")
    (param $a i32) (param $b i32) (param $soft i32) (param $re i32) (param $im i32) (param $counted i32)
    (param $count i32) (param $rotor i32) (param $turnRe f32) (param $turnIm f32) (param $weight f32)
    (local $end i32) (local $v v128) (local $w v128)
    (local $aRe v128) (local $aIm v128) (local $bRe v128) (local $bIm v128)
    (local $rRe v128) (local $rIm v128) (local $tRe v128) (local $tIm v128)
    (local $cRe v128) (local $cIm v128) (local $size v128) (local $scale v128) (local $weights v128) (local $one v128)
    (local.set $rRe (v128.load (local.get $rotor)))
    (local.set $rIm (v128.load offset=16 (local.get $rotor)))
    (local.set $tRe (f32x4.splat (local.get $turnRe)))
    (local.set $tIm (f32x4.splat (local.get $turnIm)))
    (local.set $weights (f32x4.splat (local.get $weight)))
    (local.set $one (f32x4.splat (f32.const 1)))
    (local.set $end (i32.add (local.get $re) (i32.shl (local.get $count) (i32.const 2))))
    (loop $next
      (local.set $v (v128.load (local.get $a)))
      (local.set $w (v128.load offset=16 (local.get $a)))
      (local.set $aRe (i8x16.shuffle 0 1 2 3 8 9 10 11 16 17 18 19 24 25 26 27 (local.get $v) (local.get $w)))
      (local.set $aIm (i8x16.shuffle 4 5 6 7 12 13 14 15 20 21 22 23 28 29 30 31 (local.get $v) (local.get $w)))
      (local.set $v (v128.load (local.get $b)))
      (local.set $w (v128.load offset=16 (local.get $b)))
      (local.set $bRe (i8x16.shuffle 0 1 2 3 8 9 10 11 16 17 18 19 24 25 26 27 (local.get $v) (local.get $w)))
      (local.set $bIm (i8x16.shuffle 4 5 6 7 12 13 14 15 20 21 22 23 28 29 30 31 (local.get $v) (local.get $w)))
      (local.set $cRe (f32x4.add (f32x4.mul (local.get $aRe) (local.get $bRe)) (f32x4.mul (local.get $aIm) (local.get $bIm))))
      (local.set $cIm (f32x4.sub (f32x4.mul (local.get $aRe) (local.get $bIm)) (f32x4.mul (local.get $aIm) (local.get $bRe))))
      (local.set $size
        (f32x4.sqrt (f32x4.add (f32x4.mul (local.get $cRe) (local.get $cRe)) (f32x4.mul (local.get $cIm) (local.get $cIm)))))
      (local.set $v (v128.load (local.get $soft)))
      (local.set $scale
        (f32x4.div
          (f32x4.mul (local.get $weights) (local.get $v))
          (f32x4.add (local.get $one) (f32x4.mul (local.get $size) (local.get $v)))))
      (v128.store (local.get $re)
        (f32x4.add (v128.load (local.get $re))
          (f32x4.mul (local.get $scale)
            (f32x4.sub (f32x4.mul (local.get $cRe) (local.get $rRe)) (f32x4.mul (local.get $cIm) (local.get $rIm))))))
      (v128.store (local.get $im)
        (f32x4.add (v128.load (local.get $im))
          (f32x4.mul (local.get $scale)
            (f32x4.add (f32x4.mul (local.get $cRe) (local.get $rIm)) (f32x4.mul (local.get $cIm) (local.get $rRe))))))
      (v128.store (local.get $counted)
        (f32x4.add (v128.load (local.get $counted)) (f32x4.mul (local.get $scale) (local.get $size))))
      (local.set $v (f32x4.sub (f32x4.mul (local.get $rRe) (local.get $tRe)) (f32x4.mul (local.get $rIm) (local.get $tIm))))
      (local.set $rIm (f32x4.add (f32x4.mul (local.get $rRe) (local.get $tIm)) (f32x4.mul (local.get $rIm) (local.get $tRe))))
      (local.set $rRe (local.get $v))
      (local.set $a (i32.add (local.get $a) (i32.const 32)))
      (local.set $b (i32.add (local.get $b) (i32.const 32)))
      (local.set $soft (i32.add (local.get $soft) (i32.const 16)))
      (local.set $re (i32.add (local.get $re) (i32.const 16)))
      (local.set $im (i32.add (local.get $im) (i32.const 16)))
      (local.set $counted (i32.add (local.get $counted) (i32.const 16)))
      (br_if $next (i32.lt_u (local.get $re) (local.get $end)))))

  ;; out[n] = sum over k < 32 of x[whole - 15 + k] (row[k] + blend (rowAfter[k] - row[k])), where at = from + n step,
  ;; whole its integer part, and its fraction times 512 picks the row of the table (513 rows of 32) and the blend.
  (func (export "between") (param $x i32) (param $from f64) (param $step f64) (param $table i32) (param $out i32) (param $count i32)
    (local $n i32) (local $k i32) (local $at f64) (local $whole f64) (local $phase f64) (local $row i32) (local $first i32)
    (local $blend v128) (local $low v128) (local $sum v128)
    (loop $next
      (local.set $at (f64.add (local.get $from) (f64.mul (f64.convert_i32_s (local.get $n)) (local.get $step))))
      (local.set $whole (f64.floor (local.get $at)))
      (local.set $phase (f64.mul (f64.sub (local.get $at) (local.get $whole)) (f64.const 512)))
      (local.set $row (i32.trunc_sat_f64_s (local.get $phase)))
      (local.set $blend
        (f32x4.splat (f32.demote_f64 (f64.sub (local.get $phase) (f64.convert_i32_s (local.get $row))))))
      (local.set $row (i32.add (local.get $table) (i32.shl (local.get $row) (i32.const 7))))
      (local.set $first
        (i32.add (local.get $x)
          (i32.shl (i32.sub (i32.trunc_sat_f64_s (local.get $whole)) (i32.const 15)) (i32.const 2))))
      (local.set $sum (v128.const f32x4 0 0 0 0))
      (local.set $k (i32.const 0))
      (loop $tap
        (local.set $low (v128.load (i32.add (local.get $row) (local.get $k))))
        (local.set $sum
          (f32x4.add (local.get $sum)
            (f32x4.mul (v128.load (i32.add (local.get $first) (local.get $k)))
              (f32x4.add (local.get $low)
                (f32x4.mul (local.get $blend)
                  (f32x4.sub (v128.load offset=128 (i32.add (local.get $row) (local.get $k))) (local.get $low)))))))
        (local.set $k (i32.add (local.get $k) (i32.const 16)))
        (br_if $tap (i32.lt_u (local.get $k) (i32.const 128))))
      (f32.store (local.get $out) (call $across (local.get $sum)))
      (local.set $out (i32.add (local.get $out) (i32.const 4)))
      (local.set $n (i32.add (local.get $n) (i32.const 1)))
      (br_if $next (i32.lt_u (local.get $n) (local.get $count)))))

  ;; out[i] += a[i] + b[i] + c[i] + d[i]; any count.
  (func (export "addFour") (param $a i32) (param $b i32) (param $c i32) (param $d i32) (param $out i32) (param $count i32)
    (local $end i32) (local $few i32)
    (local.set $end (i32.add (local.get $out) (i32.shl (local.get $count) (i32.const 2))))
    (local.set $few (i32.sub (local.get $end) (i32.const 12)))
    (block $done
      (loop $next
        (br_if $done (i32.ge_s (local.get $out) (local.get $few)))
        (v128.store (local.get $out)
          (f32x4.add (v128.load (local.get $out))
            (f32x4.add
              (f32x4.add (v128.load (local.get $a)) (v128.load (local.get $b)))
              (f32x4.add (v128.load (local.get $c)) (v128.load (local.get $d))))))
        (local.set $a (i32.add (local.get $a) (i32.const 16)))
        (local.set $b (i32.add (local.get $b) (i32.const 16)))
        (local.set $c (i32.add (local.get $c) (i32.const 16)))
        (local.set $d (i32.add (local.get $d) (i32.const 16)))
        (local.set $out (i32.add (local.get $out) (i32.const 16)))
        (br $next)))
    (block $end_reached
      (loop $next
        (br_if $end_reached (i32.ge_u (local.get $out) (local.get $end)))
        (f32.store (local.get $out)
          (f32.add (f32.load (local.get $out))
            (f32.add
              (f32.add (f32.load (local.get $a)) (f32.load (local.get $b)))
              (f32.add (f32.load (local.get $c)) (f32.load (local.get $d))))))
        (local.set $a (i32.add (local.get $a) (i32.const 4)))
        (local.set $b (i32.add (local.get $b) (i32.const 4)))
        (local.set $c (i32.add (local.get $c) (i32.const 4)))
        (local.set $d (i32.add (local.get $d) (i32.const 4)))
        (local.set $out (i32.add (local.get $out) (i32.const 4)))
        (br $next)))))
